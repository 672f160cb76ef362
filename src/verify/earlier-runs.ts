/** What earlier runs of a forecast said, so many days ahead, as if it had been kept. */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { errorDeviationK, t5Distribution, t5Quantile, type ErrorLaw } from '../weather/error-law.ts';
import type { KeptForecast } from './kept-forecast.ts';

const HOURS_A_DAY = 24;
/** Of a t law with 5 degrees of freedom; `ErrorLaw` is scaled to a deviation of 1. */
const T5_DEVIATION = Math.sqrt(5 / 3);

export interface EarlierRuns {
  readonly place: string;
  readonly source: string;
  /** 00:00 UTC. */
  readonly firstHour: EpochSeconds;
  /** One series for each lead of 1, 2, … whole days [°C], NaN for an unknown hour. */
  readonly byLeadC: readonly (readonly number[])[];
}

/**
 * One for each whole UTC day and lead of which anything is known. Each hour was forecast just so many days before, and
 * is taken to err by the law at that lead; null: it is taken at its word.
 */
export function keptOfEarlierRuns(runs: EarlierRuns, law: ErrorLaw | null): KeptForecast[] {
  const { place, source, firstHour, byLeadC } = runs;
  return byLeadC.flatMap((series, index) => {
    const leadDay = index + 1;
    const deviationK = law === null ? 0 : errorDeviationK(law, leadDay * DAY_S);
    return Array.from({ length: Math.floor(series.length / HOURS_A_DAY) }, (_, day) => {
      const meanC = series.slice(day * HOURS_A_DAY, (day + 1) * HOURS_A_DAY);
      const validDay = firstHour + day * HOURS_A_DAY * HOUR_S;
      const keptAt = validDay - leadDay * DAY_S;
      return { place, source, keptAt, validDay, leadDay, ...dressed(meanC, deviationK) };
    }).filter(({ meanC }) => meanC.some(Number.isFinite));
  });
}

type Dressed = Omit<KeptForecast, 'place' | 'source' | 'keptAt' | 'validDay' | 'leadDay'>;

function dressed(meanC: readonly number[], deviationK: number): Dressed {
  const quantile = (probability: number): number[] => {
    const offK = (deviationK * t5Quantile(probability)) / T5_DEVIATION;
    return meanC.map((mean) => mean + offK);
  };
  const known = (value: number, mean: number): number => (Number.isNaN(mean) ? Number.NaN : value);
  return {
    meanC,
    deviationK: meanC.map((mean) => known(deviationK, mean)),
    quantilesC: {
      q05: quantile(0.05),
      q25: quantile(0.25),
      q50: quantile(0.5),
      q75: quantile(0.75),
      q95: quantile(0.95),
    },
    below0: meanC.map((mean) => known(deviationK > 0 ? atMost(0, mean, deviationK) : Number(mean < 0), mean)),
    atOrBelowMinus4: meanC.map((mean) =>
      known(deviationK > 0 ? atMost(-4, mean, deviationK) : Number(mean <= -4), mean),
    ),
    untaught: { meanC, deviationK: meanC.map((mean) => known(0, mean)) },
  };
}

/** The law has no steps: at or below is as likely as below. */
function atMost(limitC: number, meanC: number, deviationK: number): number {
  return t5Distribution((T5_DEVIATION * (limitC - meanC)) / deviationK);
}
