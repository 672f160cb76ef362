/** One cold of several nights: what was called late gets no time again, and what may have frozen is left in peace. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isStronger, type Action } from '../../src/decision/advice.ts';
import { ANN, EPOCH, Timeline, type Said, type Weather } from './timeline.ts';
import { ROUNDS, weatherAt, winters, type Winter } from './sequences.ts';

const HOUR = 3600;
const DRAIN = { nothing: 0.6, drain: 0.1, winterize: 0 };
const WINTERIZE = { nothing: 0.9, drain: 0.4, winterize: 0 };
const BO = { person: 'bo', headsUpHours: 120 };

/** The nights of a winter one after the other. */
const NIGHTLY = winters.map((winter) => {
  const lows = winter.nights.map(({ lowC }) => lowC);
  const nights = [3, 4, 5, 6].map((day, i) => ({ hour: 24 * day + 18, lowC: lows[i % lows.length] ?? 0 }));
  return { ...winter, nights };
});

function kinds({ notices }: Said): string[] {
  return notices.map((n) => `${n.kind} ${n.action}`);
}

/** Work, travel and margin of draining are 3 h; the cold begins at hour 10. */
function night(deadline: number, over: Partial<Weather> = {}): Weather {
  return { chances: DRAIN, deadline, coldFrom: 10, ...over };
}

/** Drained by nobody: told at hour 0, late at hour 18, when the time of hour 17 has passed. */
function late(): Timeline {
  const timeline = new Timeline();
  expect(kinds(timeline.round(0, night(20)))).toEqual(['act drain']);
  expect(kinds(timeline.round(18, night(20)))).toEqual(['late drain']);
  return timeline;
}

/** Times to start by that were given within two days of work that had been called late, by the hour they were told in. */
function timesAfterLate(winter: Winter): string[] {
  const timeline = new Timeline();
  const found: string[] = [];
  let called: { readonly hour: number; readonly action: Action } | null = null;
  for (let hour = 0; hour < ROUNDS; hour++) {
    const { notices } = timeline.round(hour, { ...weatherAt(winter, hour), coldFrom: -1000 });
    for (const { kind, action, startBy } of notices.filter((n) => n.kind !== 'heads-up')) {
      const isTime = kind === 'act' || kind === 'last-call';
      const isLess = called !== null && isTime && !isStronger(action, called.action);
      if (isLess && (startBy ?? 0) < EPOCH + ((called?.hour ?? 0) + 48) * HOUR) found.push(`${hour} ${kind}`);
      called = kind === 'late' ? { hour, action } : null;
    }
  }
  return found;
}

describe('what was called late', () => {
  it('gets no time again from a night that passed without harm, and is late once more in the next', () => {
    const timeline = late();
    expect([24, 36, 39].map((hour) => kinds(timeline.round(hour, night(44))))).toEqual([[], [], []]);
    const { notices } = timeline.round(42, night(44));
    expect(notices).toMatchObject([{ kind: 'late', startBy: EPOCH + 17 * HOUR }]);
    expect([43, 46].map((hour) => kinds(timeline.round(hour, night(hour + 1))))).toEqual([[], []]);
  });

  it('is not late again within the same night, however its time moves', () => {
    const timeline = late();
    expect([20, 23, 26, 29].map((hour) => kinds(timeline.round(hour, night(hour + 2))))).toEqual([
      [],
      [],
      [],
      [],
    ]);
    expect(kinds(timeline.round(30, night(32)))).toEqual(['late drain']);
  });

  it('is asked for anew when another cold comes, or not before two days', () => {
    expect(kinds(late().round(44, night(90, { coldFrom: 70 })))).toEqual(['act drain']);
    expect(kinds(late().round(44, night(90)))).toEqual(['act drain']);
  });

  it('does not keep more work waiting', () => {
    expect(kinds(late().round(24, night(44, { chances: WINTERIZE })))).toEqual(['worse winterize']);
  });

  it('is given no later time within two days in any winter of one cold', () => {
    fc.assert(
      fc.property(NIGHTLY, (winter) => {
        expect(timesAfterLate(winter)).toEqual([]);
      }),
      { numRuns: 60, seed: 1126 },
    );
  });
});

describe('what may have frozen', () => {
  /** As above, and at hour 20 ice has done harm. */
  function frozen(): Timeline {
    const timeline = late();
    expect(kinds(timeline.round(20, night(44, { alreadyDamaged: true })))).toEqual(['frozen drain']);
    return timeline;
  }

  it('is not asked for again in the same cold, until somebody has checked it', () => {
    const timeline = frozen();
    expect([24, 41, 42, 60, 66].map((hour) => kinds(timeline.round(hour, night(68))))).toEqual([
      [],
      [],
      [],
      [],
      [],
    ]);
    timeline.memory = { ...timeline.memory, suspectSince: null };
    expect(kinds(timeline.round(67, night(68)))).toEqual(['late drain']);
  });

  it('is asked for what is still whole, once', () => {
    const timeline = frozen();
    const traps = { circuits: ['trap-kitchen'] };
    expect(kinds(timeline.round(24, night(44, traps)))).toEqual(['act drain']);
    const next = [30, 42, 50].map((hour) =>
      kinds(timeline.round(hour, night(68, { circuits: [`${hour}`] }))),
    );
    expect(next).toEqual([[], [], []]);
  });

  it('is asked for more work at once, and once', () => {
    const timeline = frozen();
    const more = night(44, { chances: WINTERIZE });
    expect([24, 30].map((hour) => kinds(timeline.round(hour, more)))).toEqual([['worse winterize'], []]);
  });

  it('has the last call of the time it was told, and is late where that was never called', () => {
    const timeline = new Timeline();
    timeline.round(0, night(40));
    timeline.round(10, night(40, { alreadyDamaged: true }));
    expect([34, 35, 38, 39].map((hour) => kinds(timeline.round(hour, night(40))))).toEqual([
      ['last-call drain'],
      [],
      ['late drain'],
      [],
    ]);
  });

  it('is asked for anew when another cold comes', () => {
    expect(kinds(frozen().round(60, night(90, { coldFrom: 70 })))).toEqual(['act drain']);
  });
});

describe('advice that is held while nothing calls for it', () => {
  const MILD: Weather = {
    chances: { nothing: 0.02, drain: 0, winterize: 0 },
    deadline: null,
    chanceIfWet: 1,
  };

  it('stands, but nobody is pressed, and nobody new hears of it', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 12 });
    timeline.contacts = [ANN, BO];
    expect([8, 10].map((hour) => kinds(timeline.round(hour, MILD)))).toEqual([[], []]);
    expect(timeline.memory.advice?.action).toBe('drain');
    expect(timeline.round(11, MILD).standing.flatMap(({ to }) => to)).not.toContain('bo');
  });

  it('that was never told is not told for being held', () => {
    const timeline = new Timeline();
    const advice = { action: 'drain', method: null, startBy: EPOCH + 9 * HOUR, since: EPOCH } as const;
    timeline.memory = { ...timeline.memory, advice };
    expect([1, 8, 10].map((hour) => kinds(timeline.round(hour, MILD)))).toEqual([[], [], []]);
  });

  it('is late at once when the cold is back', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 12 });
    timeline.round(8, MILD);
    expect(kinds(timeline.round(10, { chances: DRAIN, deadline: 12 }))).toEqual(['late drain']);
  });
});
