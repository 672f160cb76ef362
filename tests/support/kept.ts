/** Kept forecasts that a test makes up. */
import type { KeptForecast } from '../../src/verify/kept-forecast.ts';
import { normalDistribution, normalQuantile } from '../../src/weather/error-law.ts';

const DAY = 86_400;

interface Law {
  readonly validDay: number;
  readonly leadDay: number;
  readonly meanC: (hour: number) => number;
  readonly deviationK: number;
}

/** Kept at 00:00 of its day, of a normal law that holds for each hour. */
export function keptLaw({ validDay, leadDay, meanC, deviationK }: Law): KeptForecast {
  const means = Array.from({ length: 24 }, (_, hour) => meanC(hour));
  const quantile = (p: number): number[] => means.map((m) => m + deviationK * normalQuantile(p));
  const below = (limitC: number): number[] => means.map((m) => normalDistribution((limitC - m) / deviationK));
  return {
    place: 'creek',
    source: 'meteo',
    keptAt: validDay - leadDay * DAY,
    validDay,
    leadDay,
    meanC: means,
    deviationK: means.map(() => deviationK),
    quantilesC: {
      q05: quantile(0.05),
      q25: quantile(0.25),
      q50: quantile(0.5),
      q75: quantile(0.75),
      q95: quantile(0.95),
    },
    below0: below(0),
    atOrBelowMinus4: below(-4),
    untaught: { meanC: means, deviationK: means.map(() => deviationK) },
  };
}

/** Standard normal from the seeded draws. */
export function normal(random: { next: () => number }): number {
  return normalQuantile(Math.min(1 - 1e-9, Math.max(1e-9, random.next())));
}
