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
}

export interface StartBy {
  readonly startBy: EpochSeconds;
  readonly boundBy: Bound;
  readonly late: boolean;
}

/** Work is never moved further ahead than this for light or warmth. */
const MOST_EARLIER_S = 36 * HOUR_S;

/**
 * The latest start so that travel, work and margin fit before the deadline: in daylight and thaw if there is
 * such a time from now on, else in daylight, else at any hour.
 */
export function startBy(request: StartByRequest): StartBy {
  const { deadlineAt, workMinutes, travelMinutes, marginMinutes, now, daylight, thawed } = request;
  const latest = deadlineAt - 60 * (marginMinutes + workMinutes + travelMinutes);
  const late = latest < now;
  if (late || daylight === null) return { startBy: latest, boundBy: 'deadline', late };
  const window = {
    latest,
    earliest: Math.max(now, latest - MOST_EARLIER_S),
    travelS: 60 * travelMinutes,
    workS: 60 * workMinutes,
  };
  const bright = latestStart(intersection(daylight, thawed), window);
  if (bright !== null) return { startBy: bright, boundBy: 'daylight-and-thaw', late };
  const dim = latestStart(daylight, window);
  if (dim !== null) return { startBy: dim, boundBy: 'daylight', late };
  return { startBy: latest, boundBy: 'deadline', late };
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
