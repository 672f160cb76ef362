/** What an overloaded post does to a unit’s heat. */
import type { Switch } from '../model/heat-plan.ts';
import { overloadOf } from '../model/post-load.ts';
import type { UnitModel } from '../model/unit.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * The same switches where the post bears what is on; where it does not, its breaker counts as tripped. From `now` on:
 * before that somebody would have found it.
 */
export function tripped(unit: UnitModel, switches: readonly Switch[], now: EpochSeconds): readonly Switch[] {
  const before = switches.filter(({ at }) => at < now);
  const last = before.at(-1);
  const ahead = switches.filter(({ at }) => at >= now);
  const from = last === undefined ? ahead : [{ ...last, at: now }, ...ahead];
  if (from.every(({ heat }) => overloadOf(unit, heat) === null)) return switches;
  return [...before, ...from.map((s) => (overloadOf(unit, s.heat) === null ? s : withoutPost(unit, s)))];
}

/** The furnace lives on where a battery is known to run it; without one it stops with the post, as in a power cut. */
function withoutPost({ heat }: UnitModel, on: Switch): Switch {
  return heat?.battery === undefined
    ? { at: on.at, heat: false, shore: false, gas: false }
    : { ...on, shore: false };
}
