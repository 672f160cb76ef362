import { GIVEN_J_PER_KG } from '../model/supply.ts';
import { furnaceByHour, type Trace } from '../model/trace.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

/**
 * When the furnace has burned what is on board, though somebody brings more in time; null: not within the forecast,
 * or not counted.
 *
 * @param from - when that much was on board
 * @param now - what ran out before has been brought since, nobody knows how much
 */
export function gasOnBoardUntil(
  trace: Trace,
  { from, now }: { readonly from: EpochSeconds; readonly now: EpochSeconds },
): EpochSeconds | null {
  const gas = trace.unit.heat?.gas;
  const { firstHour } = trace.air;
  if (gas === undefined) return null;
  if (!gas.refilled) {
    const { gasOutS } = trace.track;
    return gasOutS < Infinity ? firstHour + gasOutS : null;
  }
  let leftJ = gas.kg * GIVEN_J_PER_KG;
  for (const [hour, watts] of furnaceByHour(trace).entries()) {
    const start = Math.max(from, firstHour + hour * HOUR_S);
    const burnedJ = watts * Math.max(0, firstHour + (hour + 1) * HOUR_S - start);
    if (burnedJ >= leftJ && burnedJ > 0) {
      const until = start + leftJ / watts;
      return until < now ? null : until;
    }
    leftJ -= burnedJ;
  }
  return null;
}
