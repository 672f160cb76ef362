/**
 * The service's 10th and 90th percentile of air temperature as courses of the weather.
 *
 * Two numbers an hour say how far the forecast may err, not how errors hang together in time. Each course keeps its
 * rank all along: one that is cold stays cold, which is the cautious reading for what freezes by lasting cold. The
 * law of an hour is normal with two halves of their own width and the single forecast as its median, so that both
 * percentiles come out exactly. Ranks are the middles of `COURSES` equal shares. They hold 10, 50 and 90 %, the
 * service's own numbers, and reach 2 and 98 %.
 */
import type { ForecastMember } from '../../weather/forecast.ts';
import { normalQuantile } from '../../weather/error-law.ts';

const COURSES = 25;

/** Per hour, NaN where the service does not say. */
export interface Percentiles {
  readonly p10C: readonly number[];
  readonly p90C: readonly number[];
}

/**
 * Members that share everything but the temperature with `single`; their weights sum to 1.
 *
 * @param range - least and greatest temperature [°C] that is weather; a course is unknown beyond it
 */
export function percentileMembers(
  single: ForecastMember,
  { p10C, p90C }: Percentiles,
  [least, most]: readonly [number, number],
): readonly ForecastMember[] {
  return ranks().map((rank) => {
    const offK = single.temperatureC.map((t, hour) => deviationK(rank, t, [p10C[hour], p90C[hour]]));
    const possible = (t: number): number => (t >= least && t <= most ? t : Number.NaN);
    return {
      ...single,
      weight: 1 / COURSES,
      model: 'percentiles',
      temperatureC: single.temperatureC.map((t, hour) => possible(t + (offK[hour] ?? Number.NaN))),
      ...(single.lows !== undefined && {
        lows: single.lows.map((low) => ({ ...low, temperatureC: low.temperatureC + coldestOffK(offK, low) })),
      }),
    };
  });
}

/** Standard normal quantiles, in units of that of 90 %. */
function ranks(): readonly number[] {
  const z90 = normalQuantile(0.9);
  return Array.from({ length: COURSES }, (_, i) => normalQuantile((i + 0.5) / COURSES) / z90);
}

/**
 * How far the course of a rank lies from the single forecast [K]. Where the single forecast is outside its own
 * percentiles it cannot be the median, and the middle between them is taken for it.
 */
function deviationK(
  rank: number,
  temperatureC: number,
  [p10C = Number.NaN, p90C = Number.NaN]: readonly [number | undefined, number | undefined],
): number {
  if (!(p10C <= p90C)) return Number.NaN;
  const inside = temperatureC >= p10C && temperatureC <= p90C;
  const medianC = inside ? temperatureC : (p10C + p90C) / 2;
  const width = rank < 0 ? medianC - p10C : p90C - medianC;
  return medianC + rank * width - temperatureC;
}

/** The lowest of a stretch falls between the hours that are known: it is taken with the colder deviation there. */
function coldestOffK(offK: readonly number[], low: { readonly from: number; readonly to: number }): number {
  // The stretch begins an hour after the entry that names it, so that hour counts too.
  const known = offK.slice(Math.max(0, low.from - 1), low.to + 1).filter((k) => !Number.isNaN(k));
  return known.length === 0 ? Number.NaN : Math.min(...known);
}
