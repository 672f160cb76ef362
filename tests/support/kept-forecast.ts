import type { KeptForecast } from '../../src/verify/kept-forecast.ts';
import { seconds } from './instants.ts';

/** What was said of 2026-11-26 two days ahead: the same each hour but for the last, of which nothing was known. */
export function keptForecast(over: Partial<KeptForecast> = {}): KeptForecast {
  const hours = (value: number): number[] => [...Array<number>(23).fill(value), Number.NaN];
  return {
    place: 'creek',
    source: 'meteo',
    keptAt: seconds('2026-11-24T08:30:00Z'),
    validDay: seconds('2026-11-26T00:00:00Z'),
    leadDay: 2,
    meanC: hours(-3.25),
    deviationK: hours(1.5),
    quantilesC: { q05: hours(-6), q25: hours(-4.25), q50: hours(-3), q75: hours(-2), q95: hours(0) },
    below0: hours(0.9375),
    atOrBelowMinus4: hours(0.3125),
    untaught: { meanC: hours(-2.75), deviationK: hours(0.5) },
    ...over,
  };
}
