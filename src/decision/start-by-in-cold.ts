/** By when the work must start, where cold makes it last longer the later it is done. */
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Bound, Slowed } from './advice.ts';
import { coldFactor } from './cold-work.ts';
import { startBy, type StartByRequest } from './start-by.ts';

export interface StartByInColdRequest extends Omit<StartByRequest, 'deadlineAt'> {
  /** Null: there is none, and then no time to start by. */
  readonly deadlineAt: EpochSeconds | null;
  /** Null: cold does not slow this work. */
  readonly coldestAir: ((from: EpochSeconds, to: EpochSeconds) => number) | null;
}

export interface StartByInCold {
  readonly startBy: EpochSeconds | null;
  readonly boundBy: Bound;
  readonly late: boolean;
  readonly inFreeHours?: boolean;
  readonly workMinutes: number;
  readonly slowed?: Slowed;
}

type ColdestAir = NonNullable<StartByInColdRequest['coldestAir']>;

/** Work that would have to be done by now is done now. */
export function startByInCold(request: StartByInColdRequest): StartByInCold {
  const { coldestAir, workMinutes } = request;
  const found = { ...timeOf(request, workMinutes), workMinutes };
  return coldestAir === null ? found : inAir(found, request, coldestAir);
}

/** In the air of the time that it came to, over and over: the factor only rises, so that it ends. */
function inAir(found: StartByInCold, request: StartByInColdRequest, coldestAir: ColdestAir): StartByInCold {
  const { now, travelMinutes } = request;
  const from = Math.max(now, found.startBy ?? now) + 60 * travelMinutes;
  const airC = coldestAir(from, from + 60 * found.workMinutes);
  const factor = coldFactor(airC);
  if (factor <= (found.slowed?.factor ?? 1)) return found;
  const workMinutes = Math.round(factor * request.workMinutes);
  const slower = { ...timeOf(request, workMinutes), workMinutes, slowed: { factor, airC } };
  return inAir(slower, request, coldestAir);
}

function timeOf(
  request: StartByInColdRequest,
  workMinutes: number,
): Pick<StartByInCold, 'startBy' | 'boundBy' | 'late' | 'inFreeHours'> {
  const { deadlineAt, coldestAir: _air, ...rest } = request;
  if (deadlineAt === null) return { startBy: null, boundBy: 'none', late: false };
  return startBy({ ...rest, deadlineAt, workMinutes });
}
