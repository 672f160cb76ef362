/** A winter by a fixed rule: act where the forecast's low is at or below so many degrees. */
import type { EpochSeconds } from '../../src/quantity/instant.ts';
import { lowWithin } from './forecasts.ts';
import { lotOf, onsetAfter, TRAVEL_MINUTES, WORK_MINUTES } from './lot.ts';
import { Diary, FILLING_S, roundsOf, thawAfter, WINDOW_S, type Season } from './season.ts';
import type { Winter } from './series.ts';

const HOUR = 3600;
const WORK_S = 60 * (TRAVEL_MINUTES + WORK_MINUTES);

export interface RuleOf {
  readonly winter: Winter;
  readonly seed: number;
  /** A call where the forecast's low within three days is at or below it. */
  readonly atC: number;
  readonly days?: readonly [number, number];
}

/**
 * Everybody winterizes at once at a call, which no cold then harms, and fills again when two forecasts in a row, at
 * least six hours apart and twelve after the call, have no such low: as much patience as the program has. A unit that
 * froze is in use again once it has thawed, and called for anew if it is still as cold.
 */
export function followRule({ winter, seed, atC, days }: RuleOf): Season {
  const config = lotOf({ winter, accepted: 0.05, members: 11 });
  const rounds = roundsOf(winter, days);
  const stretches = config.units.flatMap((unit) => {
    const diary = new Diary(unit.id, rounds[0]!);
    const end = rounds.at(-1)!;
    let fillAt: EpochSeconds | null = null;
    let calmSince: EpochSeconds | null = null;
    let harmAt = onsetAfter({ config, unit, winter }, null, { from: rounds[0]!, to: end });
    for (const now of rounds) {
      const called = diary.calls[0]?.at ?? null;
      if (
        diary.harmedAt === null &&
        harmAt !== null &&
        harmAt < now &&
        !(called !== null && called + WORK_S < harmAt)
      ) {
        diary.harm(harmAt);
        fillAt = thawAfter(winter, harmAt);
      }
      if (fillAt !== null && fillAt <= now) {
        diary.fill(fillAt);
        harmAt = onsetAfter({ config, unit, winter }, fillAt, { from: fillAt, to: end });
        [fillAt, calmSince] = [null, null];
      }
      const isCold = lowWithin(winter, now, seed, WINDOW_S) <= atC;
      calmSince = isCold ? null : (calmSince ?? now);
      if (diary.harmedAt !== null) continue;
      if (isCold && diary.calls.length === 0) {
        diary.call(now, 'act');
        diary.work(now + WORK_S);
        fillAt = null;
        continue;
      }
      const since = diary.calls[0]?.at ?? Infinity;
      if (calmSince !== null && fillAt === null && now - calmSince >= 6 * HOUR && now - since >= 12 * HOUR)
        fillAt = now + FILLING_S;
    }
    return diary.until(end);
  });
  return { stretches, messages: new Map() };
}
