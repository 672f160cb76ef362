/** What is told when, on a virtual clock. Every round's notices are listed in full: anything unexpected fails. */
import { describe, expect, it } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import { EPOCH, Timeline, type Said } from './timeline.ts';

const DRAIN = { nothing: 0.6, drain: 0.1, winterize: 0 };
const WINTERIZE = { nothing: 0.9, drain: 0.4, winterize: 0 };
const CALM = { nothing: 0, drain: 0, winterize: 0 };

/** Work, travel and margin of draining: 45 + 15 + 120 min. */
const DRAIN_HOURS = 3;

function kinds({ notices }: Said): string[] {
  return notices.map((n) => `${n.kind} ${n.action}`);
}

describe('told of work to do', () => {
  it('act, then last-call, then late, each once', () => {
    const timeline = new Timeline();
    const cold = { chances: DRAIN, deadline: 30 + DRAIN_HOURS };
    const told = Array.from({ length: 36 }, (_, hour) => ({
      hour,
      kinds: kinds(timeline.round(hour, cold)),
    }));
    expect(told.filter((t) => t.kinds.length > 0)).toEqual([
      { hour: 0, kinds: ['act drain'] },
      { hour: 27, kinds: ['last-call drain'] },
      { hour: 31, kinds: ['late drain'] },
    ]);
  });

  it('no last-call right after an act that itself was the last call', () => {
    const timeline = new Timeline();
    const cold = { chances: DRAIN, deadline: 2 + DRAIN_HOURS };
    const told = [0, 1, 1.9].map((hour) => kinds(timeline.round(hour, cold)));
    expect(told).toEqual([['act drain'], [], []]);
  });

  it('late at first, where the time to start had passed before anyone could know', () => {
    const timeline = new Timeline();
    const cold = { chances: DRAIN, deadline: 2 };
    expect([0, 1, 1.5].map((hour) => kinds(timeline.round(hour, cold)))).toEqual([['late drain'], [], []]);
  });

  it('worse for a stronger action, with what was told before', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const { notices } = timeline.round(1, { chances: WINTERIZE, deadline: 60 });
    expect(notices).toMatchObject([
      {
        kind: 'worse',
        action: 'winterize',
        previous: { action: 'drain', startBy: EPOCH + (60 - DRAIN_HOURS) * 3600 },
      },
    ]);
    expect(kinds(timeline.round(2, { chances: WINTERIZE, deadline: 60 }))).toEqual([]);
  });

  it('worse for a start-by six hours earlier, not for five, counted from what was told', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 90 });
    expect(kinds(timeline.round(1, { chances: DRAIN, deadline: 85 }))).toEqual([]);
    expect(kinds(timeline.round(2, { chances: DRAIN, deadline: 84.1 }))).toEqual([]);
    expect(kinds(timeline.round(3, { chances: DRAIN, deadline: 84 }))).toEqual(['worse drain']);
    expect(kinds(timeline.round(24, { chances: DRAIN, deadline: 79 }))).toEqual([]);
    expect(kinds(timeline.round(25, { chances: DRAIN, deadline: 78 }))).toEqual(['worse drain']);
  });

  it('no third time to start by within a day; it comes when the day has passed, and what is late comes at once', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    timeline.round(3, { chances: DRAIN, deadline: 54 });
    expect(kinds(timeline.round(5, { chances: DRAIN, deadline: 48 }))).toEqual([]);
    expect(kinds(timeline.round(23, { chances: DRAIN, deadline: 48 }))).toEqual([]);
    expect(kinds(timeline.round(24, { chances: DRAIN, deadline: 48 }))).toEqual(['worse drain']);
    expect(kinds(timeline.round(25, { chances: DRAIN, deadline: 27 }))).toEqual(['late drain']);
  });

  it('act anew, in another episode, once the unit was made safe and is used again', () => {
    const timeline = new Timeline();
    const [first] = timeline.round(0, { chances: DRAIN, deadline: 60 }).notices;
    // Drained: nothing to do. The cold is still there, so it is not over.
    const drained = { chances: { nothing: 0, winterize: 0 }, deadline: null, acted: true, chanceIfWet: 1 };
    expect(kinds(timeline.round(5, drained))).toEqual([]);
    // Filled again.
    const { notices } = timeline.round(9, { chances: DRAIN, deadline: 90, acted: true });
    expect(notices).toMatchObject([{ kind: 'act', action: 'drain', previous: null }]);
    expect(notices[0]?.episode).not.toBe(first?.episode);
    expect(kinds(timeline.round(10, { chances: DRAIN, deadline: 90 }))).toEqual([]);
  });

  it('worse, too, when advice that forecasts had relaxed comes back', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const mild = { chances: { nothing: 0.01, drain: 0 }, deadline: null, chanceIfWet: 0.05 };
    expect([13, 20].map((hour) => kinds(timeline.round(hour, mild)))).toEqual([[], []]);
    expect(timeline.memory.advice?.action).toBe('nothing');
    expect(kinds(timeline.round(21, { chances: DRAIN, deadline: 90 }))).toEqual(['worse drain']);
  });

  it('nothing where less work would do or more time is left', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: WINTERIZE, deadline: 60 });
    expect(kinds(timeline.round(1, { chances: WINTERIZE, deadline: 80 }))).toEqual([]);
    expect(kinds(timeline.round(2, { chances: DRAIN, deadline: 80 }))).toEqual([]);
    expect(kinds(timeline.round(3, { chances: CALM, deadline: null }))).toEqual([]);
  });

  it('act with nothing to do, once, where nothing that can still be done suffices', () => {
    const timeline = new Timeline();
    const hopeless = { chances: { nothing: 0.9 }, deadline: 40 };
    expect([0, 1].map((hour) => kinds(timeline.round(hour, hopeless)))).toEqual([['act nothing'], []]);
  });
});

describe('told of a freeze', () => {
  it('frozen once, and again only after a person has checked', () => {
    const timeline = new Timeline();
    const frozen = { chances: { nothing: 0.9 }, deadline: 40, alreadyDamaged: true, frozenPath: true };
    expect(kinds(timeline.round(0, frozen))).toEqual(['frozen nothing']);
    expect(kinds(timeline.round(1, frozen))).toEqual([]);
    expect(timeline.memory.suspectSince).toBe(EPOCH);
    timeline.memory = { ...timeline.memory, suspectSince: null, told: [] };
    expect(kinds(timeline.round(2, frozen))).toEqual(['frozen nothing']);
  });

  it('stays suspect when the cold is over, until a person says otherwise', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 40, alreadyDamaged: true });
    timeline.round(100, { chances: CALM, deadline: null });
    expect(timeline.memory.suspectSince).toBe(EPOCH);
  });
});

describe('told that it is over', () => {
  it('all-clear once, when neither the window nor what lies beyond threatens', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 38 });
    const done = { chances: { nothing: 0, winterize: 0 }, deadline: null, acted: true };
    expect(kinds(timeline.round(10, { ...done, chanceIfWet: 0.6 }))).toEqual([]);
    expect(kinds(timeline.round(40, { ...done, chanceIfWet: 0.03 }))).toEqual([]);
    expect(kinds(timeline.round(41, { ...done, chanceIfWet: 0.02, chanceAhead: 0.3 }))).toEqual([]);
    expect(kinds(timeline.round(42, { ...done, chanceIfWet: 0.02 }))).toEqual(['all-clear nothing']);
    expect(kinds(timeline.round(43, { ...done, chanceIfWet: 0.02 }))).toEqual([]);
    expect(timeline.memory).toMatchObject({ episode: null, told: [] });
  });

  it('all-clear of cold that was taken back after the work only once it has been so for twelve hours', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const done = { chances: { nothing: 0, winterize: 0 }, deadline: null, acted: true, chanceIfWet: 0 };
    expect([10, 15].map((hour) => kinds(timeline.round(hour, done)))).toEqual([[], []]);
    // It is back, and goes again.
    expect(kinds(timeline.round(16, { ...done, chanceIfWet: 0.6 }))).toEqual([]);
    expect([20, 31].map((hour) => kinds(timeline.round(hour, done)))).toEqual([[], []]);
    expect(kinds(timeline.round(32, done))).toEqual(['all-clear nothing']);
  });

  it('worse where what was done stands and is not enough, and act where it was undone', () => {
    const asked = (standsDrained: boolean): object => {
      const timeline = new Timeline();
      timeline.round(0, { chances: DRAIN, deadline: 60 });
      const done = { chances: { nothing: 0, winterize: 0 }, deadline: null, acted: true, chanceIfWet: 1 };
      timeline.round(5, done);
      return timeline.round(9, { chances: WINTERIZE, deadline: 90, standsDrained }).notices;
    };
    const previous = { action: 'drain', startBy: null };
    expect(asked(true)).toMatchObject([{ kind: 'worse', action: 'winterize', previous }]);
    expect(asked(false)).toMatchObject([{ kind: 'act', action: 'winterize', previous: null }]);
  });

  it('nothing at all where there never was anything', () => {
    const timeline = new Timeline();
    expect(
      [0, 1, 2].flatMap((hour) => kinds(timeline.round(hour, { chances: CALM, deadline: null }))),
    ).toEqual([]);
    expect(timeline.memory.episode).toEqual(EMPTY_MEMORY.episode);
  });

  it('a new episode after the all-clear, under another name', () => {
    const timeline = new Timeline();
    const [first] = timeline.round(0, { chances: DRAIN, deadline: 60 }).notices;
    timeline.round(10, { chances: CALM, deadline: null, acted: true });
    const [second] = timeline.round(50, { chances: DRAIN, deadline: 100 }).notices;
    expect(second?.kind).toBe('act');
    expect(second?.episode).not.toBe(first?.episode);
  });
});

describe('told of what lies beyond the window', () => {
  it('heads-up under one key, above one half only, and act in the same episode when it comes near', () => {
    const timeline = new Timeline();
    expect(kinds(timeline.round(0, { chances: CALM, deadline: null, chanceAhead: 0.5 }))).toEqual([]);
    const { notices } = timeline.round(1, { chances: CALM, deadline: null, chanceAhead: 0.51 });
    expect(notices).toMatchObject([{ kind: 'heads-up', canWait: true }]);
    // Said again under the same outbox key, so that each reader hears it once, at their own distance.
    const again = timeline.round(2, { chances: CALM, deadline: null, chanceAhead: 0.9 });
    expect(again.notices).toMatchObject([{ kind: 'heads-up', episode: notices[0]?.episode }]);
    const near = timeline.round(24, { chances: DRAIN, deadline: 80 });
    expect(near.notices).toMatchObject([{ kind: 'act', episode: notices[0]?.episode }]);
  });
});

describe('told that there is no forecast', () => {
  it('once, after the age limit, with the last known low remembered', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: CALM, deadline: null, lowestC: -7 });
    expect(kinds(timeline.blind(1, false))).toEqual([]);
    expect(kinds(timeline.blind(2, false))).toEqual([]);
    expect(kinds(timeline.blind(12, true))).toEqual(['no-forecast nothing']);
    expect(kinds(timeline.blind(13, true))).toEqual([]);
    expect(timeline.memory.lastKnown).toMatchObject({ asOf: EPOCH, lowestOutsideC: -7 });
    // Back again, and lost anew: that is news.
    timeline.round(20, { chances: CALM, deadline: null, lowestC: -9 });
    expect(timeline.memory.blindSince).toBeNull();
    expect(kinds(timeline.blind(21, false))).toEqual([]);
    expect(kinds(timeline.blind(33, true))).toEqual(['no-forecast nothing']);
    expect(timeline.memory.lastKnown?.lowestOutsideC).toBe(-9);
  });

  it('with the advice in force, whose clock runs on', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 20 + DRAIN_HOURS });
    expect(kinds(timeline.blind(12, true))).toEqual(['no-forecast drain']);
    expect(kinds(timeline.blind(18, true))).toEqual(['last-call drain']);
    expect(kinds(timeline.blind(21, true))).toEqual(['late drain']);
    expect(kinds(timeline.blind(22, true))).toEqual([]);
  });
});

describe('how long a notice holds and whether it may wait', () => {
  it('an act may wait for the morning only when more than a day is left', () => {
    const [far] = new Timeline().round(0, { chances: DRAIN, deadline: 25 + DRAIN_HOURS }).notices;
    const [near] = new Timeline().round(0, { chances: DRAIN, deadline: 23 + DRAIN_HOURS }).notices;
    expect([far?.canWait, near?.canWait]).toEqual([true, false]);
  });

  it('an act is of no use after its start-by, a late one until the damage', () => {
    const [act] = new Timeline().round(0, { chances: DRAIN, deadline: 30 }).notices;
    expect(act).toMatchObject({ startBy: EPOCH + 27 * 3600, useBefore: EPOCH + 27 * 3600 });
    const [late] = new Timeline().round(0, { chances: DRAIN, deadline: 2 }).notices;
    expect(late).toMatchObject({ kind: 'late', useBefore: EPOCH + 2 * 3600, canWait: false });
  });
});
