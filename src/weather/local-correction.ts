/**
 * From the forecast's cell to the unit's spot: the user's own cold spot, always; and on clear calm nights the
 * cold air that gathers in the lie of the land. Never warms.
 */
import { getPosition } from 'suncalc';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

/** Full correction on a clear calm night [K]. Trade practice: creek bottoms 2-6, unknown 2. Engineering estimates. */
export const POOLING_K = { hollow: 4, valley: 2, unknown: 2, bench: 0, ridge: 0, town: 0 } as const;

export interface Spot {
  readonly latitude: number;
  readonly longitude: number;
  readonly lie: keyof typeof POOLING_K;
  readonly coldSpotK: number;
  /** Height above sea level; null: not known. */
  readonly elevationM: number | null;
}

export interface Night {
  readonly firstHour: EpochSeconds;
  /** 0 by day to 1 by night, per hour. */
  readonly darkness: Float64Array;
  /** How much too warm a clear calm night's hours come out in forecasts [K]; absent: not at all. */
  readonly biasK?: Float64Array;
}

/** How much of a night each hour is: 0 with the sun up, 1 once it is 6° below the horizon, linear between. */
export function nightOf(spot: Spot, firstHour: EpochSeconds, hours: number): Night {
  const darkness = Float64Array.from({ length: hours }, (_, i) => {
    const { altitude } = getPosition(
      new Date((firstHour + i * HOUR_S) * 1000),
      spot.latitude,
      spot.longitude,
    );
    return clamp(-altitude / 6);
  });
  return { firstHour, darkness };
}

/**
 * How much to take off each hour [K]. What gathers in the lie of the land holds what nights come out too warm
 * anyway: the larger of the two counts. Unknown cloud counts as clear and unknown wind as calm, both cautious.
 * Calm up to 1 m/s at 10 m, no pooling from 4 m/s on: engineering estimates.
 */
export function correctionK(
  spot: Spot,
  night: Night,
  air: { cloudPercent: Float64Array; windSpeedMps: Float64Array },
): Float64Array {
  const pooling = POOLING_K[spot.lie];
  return night.darkness.map((dark, i) => {
    const clear = clearness(air.cloudPercent[i] ?? Number.NaN);
    const calm = calmness(air.windSpeedMps[i] ?? Number.NaN);
    return spot.coldSpotK + Math.max(pooling, night.biasK?.[i] ?? 0) * dark * clear * calm;
  });
}

/** 0 overcast to 1 clear. */
export function clearness(cloudPercent: number): number {
  return Number.isNaN(cloudPercent) ? 1 : 1 - cloudPercent / 100;
}

/** 0 windy to 1 calm. */
export function calmness(windSpeedMps: number): number {
  return Number.isNaN(windSpeedMps) ? 1 : clamp((4 - windSpeedMps) / 3);
}

function clamp(share: number): number {
  return Math.min(1, Math.max(0, share));
}
