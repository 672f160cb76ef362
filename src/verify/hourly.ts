import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

/** Hourly temperatures, linear in between; NaN is unknown. */
export interface HourlySeries {
  readonly firstHour: EpochSeconds;
  readonly temperatureC: ArrayLike<number>;
}

/** NaN beyond the series, and beside an hour that is unknown. */
export function valueAt({ firstHour, temperatureC }: HourlySeries, at: EpochSeconds): number {
  const position = (at - firstHour) / HOUR_S;
  const hour = Math.floor(position);
  const from = temperatureC[hour] ?? Number.NaN;
  const part = position - hour;
  return part === 0 ? from : from + part * ((temperatureC[hour + 1] ?? Number.NaN) - from);
}
