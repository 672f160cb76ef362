/** By when the work must start. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Bound } from './advice.ts';
import { intersection, type Interval } from './daylight.ts';

export interface StartByRequest {
  readonly deadlineAt: EpochSeconds;
  readonly workMinutes: number;
  readonly travelMinutes: number;
  readonly marginMinutes: number;
  readonly now: EpochSeconds;
  /** Null: the hour of day does not matter. */
  readonly daylight: readonly Interval[] | null;
  /** Air above freezing and the way of the water thawed. */
  readonly thawed: readonly Interval[];
  /** When somebody is free to do it; null or absent: at any hour. */
  readonly free?: readonly Interval[] | null;
}

export interface StartBy {
  readonly startBy: EpochSeconds;
  readonly boundBy: Bound;
  readonly late: boolean;
  /** Absent: nobody named free hours, or it is late. */
  readonly inFreeHours?: boolean;
}

/** Work is never moved further ahead than this for light or warmth. */
const MOST_EARLIER_S = 36 * HOUR_S;

/**
 * The latest start so that travel, work and margin fit before the deadline: in daylight and thaw if there is
 * such a time from now on, else in daylight, else at any hour. Where somebody named free hours, the same within
 * them, however much earlier that is; where none are left, as if nobody had.
 */
export function startBy(request: StartByRequest): StartBy {
  const { deadlineAt, workMinutes, travelMinutes, marginMinutes, now, free = null } = request;
  const latest = deadlineAt - 60 * (marginMinutes + workMinutes + travelMinutes);
  if (latest < now) return { startBy: latest, boundBy: 'deadline', late: true };
  if (free === null) return withLight(request, latest, null);
  const travelS = 60 * travelMinutes;
  // Travel is the person's time, too: the work has what is left of it.
  const forWork = free.map((i) => ({ start: i.start + travelS, end: i.end })).filter((i) => i.end > i.start);
  const inFree = latestStart(forWork, { earliest: now, latest, travelS, workS: 60 * workMinutes });
  if (inFree === null) return { ...withLight(request, latest, null), inFreeHours: false };
  return { ...withLight(request, inFree, forWork), inFreeHours: true };
}

/** @param within - null: at any hour */
function withLight(
  { now, daylight, thawed, travelMinutes, workMinutes }: StartByRequest,
  latest: EpochSeconds,
  within: readonly Interval[] | null,
): StartBy {
  if (daylight === null) return { startBy: latest, boundBy: 'deadline', late: false };
  const window = {
    latest,
    earliest: Math.max(now, latest - MOST_EARLIER_S),
    travelS: 60 * travelMinutes,
    workS: 60 * workMinutes,
  };
  const light = within === null ? daylight : intersection(within, daylight);
  const bright = latestStart(intersection(light, thawed), window);
  if (bright !== null) return { startBy: bright, boundBy: 'daylight-and-thaw', late: false };
  const dim = latestStart(light, window);
  if (dim !== null) return { startBy: dim, boundBy: 'daylight', late: false };
  return { startBy: latest, boundBy: 'deadline', late: false };
}

interface Window {
  readonly earliest: EpochSeconds;
  readonly latest: EpochSeconds;
  readonly travelS: number;
  readonly workS: number;
}

/** Latest start whose work, after the travel, lies whole in one of the intervals. */
function latestStart(
  intervals: readonly Interval[],
  { earliest, latest, travelS, workS }: Window,
): EpochSeconds | null {
  const starts = intervals
    .map((i) => ({ first: i.start - travelS, last: Math.min(latest, i.end - workS - travelS) }))
    .filter((s) => s.last >= Math.max(s.first, earliest))
    .map((s) => s.last);
  return starts.length === 0 ? null : Math.max(...starts);
}
