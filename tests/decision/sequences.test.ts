/** What holds whatever forecasts do, round by round: by chance, with fast-check. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ACTIONS } from '../../src/decision/advice.ts';
import type { AddressedNotice } from '../../src/decision/memory.ts';
import { ROUNDS, weatherAt, winters, type Winter } from './sequences.ts';
import { EPOCH, Timeline, type Said } from './timeline.ts';

const HOUR = 3600;
const RUNS = { numRuns: 150, seed: 1126 };

interface Round extends Said {
  readonly hour: number;
}

function roundsOf(winter: Winter): readonly Round[] {
  const timeline = new Timeline();
  return Array.from({ length: ROUNDS }, (_, hour) => ({
    hour,
    ...timeline.round(hour, weatherAt(winter, hour)),
  }));
}

/** What asks for work or tells of a freeze, with the hour in which it was said. */
function told(rounds: readonly Round[]): readonly (AddressedNotice & { readonly hour: number })[] {
  return rounds.flatMap(({ hour, notices }) =>
    notices.filter((n) => n.kind !== 'heads-up').map((n) => ({ ...n, hour })),
  );
}

function strength(action: (typeof ACTIONS)[number]): number {
  return ACTIONS.indexOf(action);
}

describe('whatever the forecasts do', () => {
  it('each cause is told once: an episode, a kind, an action, and a time to start by to six hours', () => {
    fc.assert(
      fc.property(winters, (winter) => {
        const said = told(roundsOf(winter));
        said.forEach((notice, i) => {
          const before = said.slice(0, i).filter((n) => {
            const isSame = n.kind === notice.kind && n.action === notice.action;
            return isSame && n.episode.split('Z')[0] === notice.episode.split('Z')[0];
          });
          for (const n of before)
            expect(Math.abs((n.startBy ?? 0) - (notice.startBy ?? 0))).toBeGreaterThanOrEqual(6 * HOUR);
        });
      }),
      RUNS,
    );
  });

  it('advice is not relaxed within twelve hours of a stronger one', () => {
    fc.assert(
      fc.property(winters, (winter) => {
        let strongestAt = -Infinity;
        let before = 0;
        for (const { hour, advice } of roundsOf(winter)) {
          const now = strength(advice?.action ?? 'nothing');
          expect(now >= before || hour - strongestAt >= 12, `hour ${hour}`).toBe(true);
          if (now > before) strongestAt = hour;
          before = now;
        }
      }),
      RUNS,
    );
  });

  it('nobody gets more than three messages about a unit within a day, but for what is late, worse or frozen', () => {
    fc.assert(
      fc.property(winters, (winter) => {
        const said = told(roundsOf(winter));
        for (const { hour } of said) {
          const day = said.filter((n) => n.hour >= hour && n.hour < hour + 24);
          const more = ({ kind, action, previous }: AddressedNotice): boolean =>
            kind === 'late' ||
            (kind === 'worse' && strength(action) > strength(previous?.action ?? 'nothing'));
          const words = day.map((n) => `${n.hour} ${n.kind} ${n.action}`);
          expect(day.filter((n) => !more(n)).length, words.join(', ')).toBeLessThanOrEqual(3);
          // So many at worst of those tried: it is no promise.
          expect(day.length, words.join(', ')).toBeLessThanOrEqual(5);
        }
      }),
      RUNS,
    );
  });

  it('work has a time to start by, and what is late had one that has passed', () => {
    fc.assert(
      fc.property(winters, (winter) => {
        const rounds = roundsOf(winter);
        for (const { advice } of rounds)
          if (advice?.action !== 'nothing') expect(advice?.startBy).not.toBeNull();
        for (const { kind, startBy, hour } of told(rounds)) {
          if (kind === 'all-clear') continue;
          expect(startBy).not.toBeNull();
          expect((startBy ?? 0) < EPOCH + hour * HOUR).toBe(kind === 'late');
        }
      }),
      RUNS,
    );
  });

  it('messages stop when the work is done', () => {
    fc.assert(
      fc.property(winters, fc.integer({ min: 1, max: ROUNDS - 30 }), (winter, doneAt) => {
        const timeline = new Timeline();
        const said: string[] = [];
        for (let hour = 0; hour < ROUNDS; hour++) {
          const weather = weatherAt(winter, hour);
          const isDone = hour >= doneAt;
          const safe = { ...weather, chances: { nothing: 0, winterize: 0 }, deadline: null, chanceAhead: 0 };
          const { notices } = timeline.round(hour, isDone ? { ...safe, acted: hour === doneAt } : weather);
          if (isDone) said.push(...notices.map((n) => n.kind));
        }
        expect(said.filter((kind) => kind !== 'all-clear')).toEqual([]);
        expect(said.length).toBeLessThanOrEqual(1);
      }),
      RUNS,
    );
  });
});
