/** A kept forecast as short text: whole hundredths of a degree and whole ten-thousandths of a weight, null for unknown. */
import type { KeptForecast } from '../verify/kept-forecast.ts';

const QUANTILES = ['q05', 'q25', 'q50', 'q75', 'q95'] as const;
const DEGREE = 100;
const WEIGHT = 10_000;
const HOURS = 24;

/** Names are one letter: there are eight such rows for each day, place and source. */
export function keptText(kept: KeptForecast): string {
  return JSON.stringify({
    m: inWhole(kept.meanC, DEGREE),
    d: inWhole(kept.deviationK, DEGREE),
    q: QUANTILES.map((name) => inWhole(kept.quantilesC[name], DEGREE)),
    z: inWhole(kept.below0, WEIGHT),
    f: inWhole(kept.atOrBelowMinus4, WEIGHT),
    u: inWhole(kept.untaught.meanC, DEGREE),
    v: inWhole(kept.untaught.deviationK, DEGREE),
  });
}

type Said = Pick<
  KeptForecast,
  'meanC' | 'deviationK' | 'quantilesC' | 'below0' | 'atOrBelowMinus4' | 'untaught'
>;

/** Null for what was never written by `keptText`. */
export function readKeptText(text: string): Said | null {
  try {
    const { m, d, q, z, f, u, v } = JSON.parse(text) as Record<'m' | 'd' | 'z' | 'f' | 'u' | 'v', unknown> & {
      readonly q: readonly unknown[];
    };
    const [q05, q25, q50, q75, q95] = q.map((hours) => fromWhole(hours, DEGREE));
    return {
      meanC: fromWhole(m, DEGREE),
      deviationK: fromWhole(d, DEGREE),
      quantilesC: { q05: all(q05), q25: all(q25), q50: all(q50), q75: all(q75), q95: all(q95) },
      below0: fromWhole(z, WEIGHT),
      atOrBelowMinus4: fromWhole(f, WEIGHT),
      untaught: { meanC: fromWhole(u, DEGREE), deviationK: fromWhole(v, DEGREE) },
    };
  } catch {
    return null;
  }
}

function inWhole(values: readonly number[], factor: number): (number | null)[] {
  return values.map((value) => (Number.isFinite(value) ? Math.round(value * factor) : null));
}

/** @throws TypeError for anything but a value, or null, for each hour of a day */
function fromWhole(values: unknown, factor: number): number[] {
  if (!Array.isArray(values) || values.length !== HOURS) throw new TypeError('no hours of a day');
  return values.map((value: unknown) => {
    if (value === null) return Number.NaN;
    if (typeof value !== 'number') throw new TypeError('no number');
    return value / factor;
  });
}

function all(hours: readonly number[] | undefined): readonly number[] {
  if (hours === undefined) throw new TypeError('a quantile is missing');
  return hours;
}
