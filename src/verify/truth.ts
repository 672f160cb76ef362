/** What was measured, hour by hour, to be held against forecasts. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

export interface Measured {
  readonly at: EpochSeconds;
  readonly temperatureC: number;
}

/** The whole hour that an instant is nearest to; half past belongs to the next. */
export function nearestHour(at: EpochSeconds): EpochSeconds {
  return Math.round(at / HOUR_S) * HOUR_S;
}

/** The one nearest to each whole hour, at most half an hour off; of two as near the earlier. Unknown values count for nothing. */
export function nearestToHours<T extends Measured>(measured: readonly T[]): Map<EpochSeconds, T> {
  const nearest = new Map<EpochSeconds, T>();
  for (const one of measured) {
    if (!Number.isFinite(one.temperatureC)) continue;
    const hour = nearestHour(one.at);
    const other = nearest.get(hour);
    if (other === undefined || isNearer(one.at, other.at)) nearest.set(hour, one);
  }
  return nearest;
}

/** Of two instants of one hour. */
export function isNearer(at: EpochSeconds, than: EpochSeconds): boolean {
  const off = (instant: EpochSeconds): number => Math.abs(instant - nearestHour(instant));
  return off(at) < off(than) || (off(at) === off(than) && at < than);
}
