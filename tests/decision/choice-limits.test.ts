/** The corners of the choice: equal chances, ice in the way, advice that is held without its action. */
import { describe, expect, it } from 'vitest';
import type { Candidate } from '../../src/decision/candidate.ts';
import { decide, type Situation } from '../../src/decision/decide.ts';
import { EMPTY_MEMORY, type Memory } from '../../src/decision/memory.ts';
import { EPOCH, Timeline, situation, type Weather } from './timeline.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const DRAIN = { chances: { nothing: 0.6, drain: 0.1, winterize: 0 }, deadline: 60 };
const WINTERIZE = { chances: { nothing: 0.9, drain: 0.4, winterize: 0 }, deadline: 60 };
const CALM = { chances: { nothing: 0.02, drain: 0, winterize: 0 }, deadline: null };

function advised(of: Weather, over: Partial<Situation> = {}) {
  return decide({ ...situation(0, of), ...over }).advice;
}

function inForce(over: Partial<NonNullable<Memory['advice']>> = {}): Memory {
  const advice = { action: 'drain', method: null, startBy: null, since: EPOCH - DAY, ...over } as const;
  return { ...EMPTY_MEMORY, advice };
}

describe('ice in the way', () => {
  it('is no calm, though what is frozen comes to no new harm', () => {
    expect(advised({ ...CALM, chances: { nothing: 0 }, frozenPath: true })).toMatchObject({
      action: 'nothing',
      reasonCode: 'frozen-path',
    });
  });

  it('of work that does enough is no matter', () => {
    expect(advised({ ...DRAIN, frozenPath: true })).toMatchObject({
      action: 'drain',
      reasonCode: 'cold-ahead',
    });
  });
});

describe('doing nothing', () => {
  it('has no time to start by, no minutes and cannot be late, whatever the deadline', () => {
    expect(advised({ chances: { nothing: 0.9 }, deadline: 1 })).toEqual({
      action: 'nothing',
      method: null,
      startBy: null,
      late: false,
      boundBy: 'none',
      workMinutes: 0,
      reasonCode: 'nothing-suffices',
    });
  });
});

describe('work', () => {
  it('without a deadline has no time to start by and is not late', () => {
    expect(advised({ ...DRAIN, deadline: null })).toMatchObject({
      action: 'drain',
      startBy: null,
      boundBy: 'none',
      late: false,
    });
  });

  it('on some circuits alone names them and takes their minutes', () => {
    const traps: Candidate = {
      action: 'winterize',
      method: 'antifreeze',
      chance: 0,
      circuits: ['trap-sink'],
      workMinutes: 5,
    };
    const of = situation(0, { chances: { nothing: 1 }, deadline: 60 });
    const { advice } = decide({ ...of, candidates: [...of.candidates, traps] });
    expect(advice).toMatchObject({ circuits: ['trap-sink'], workMinutes: 5 });
    // 5 min of work, 15 of travel and a margin of 2 h.
    expect(advice.startBy).toBe(EPOCH + 60 * HOUR - 140 * 60);
  });

  it('on everything names no circuits', () => {
    expect(advised(DRAIN)).not.toHaveProperty('circuits');
  });
});

describe('where nothing suffices', () => {
  function hurried(...candidates: Partial<Candidate>[]) {
    const of = situation(0, { chances: { nothing: 1 }, deadline: 1 });
    const all = candidates.map((c) => ({ action: 'nothing' as const, method: null, chance: 1, ...c }));
    return decide({ ...of, candidates: all }).advice.action;
  }

  it('the chance as time stands goes before what the work would have done', () => {
    const drain = { action: 'drain', chance: 0.8, chanceIfDone: 0.8 } as const;
    const winterize = { action: 'winterize', chance: 0.9, chanceIfDone: 0 } as const;
    expect(hurried({}, drain, winterize)).toBe('drain');
  });

  it('of two that would have helped alike, the lesser work', () => {
    const drain = { action: 'drain', chanceIfDone: 0 } as const;
    expect(hurried({ chanceIfDone: 1 }, drain, { action: 'winterize', chanceIfDone: 0 })).toBe('drain');
  });

  it('what is not known to help had it been done counts as it stands', () => {
    expect(
      hurried({ chanceIfDone: 1 }, { action: 'drain' }, { action: 'winterize', chanceIfDone: 0.5 }),
    ).toBe('winterize');
    expect(hurried({}, { action: 'drain', chanceIfDone: 0 })).toBe('drain');
  });
});

describe('advice in force', () => {
  it('gives way at once where nothing suffices any more and a weaker action leaves less', () => {
    const hopeless = { chances: { nothing: 0.5, drain: 0.9 }, deadline: 60 };
    expect(advised(hopeless, { memory: inForce() })).toMatchObject({
      action: 'nothing',
      reasonCode: 'nothing-suffices',
    });
  });

  it('stands where the weaker action leaves just what is accepted', () => {
    const edge = { chances: { nothing: 0.05, drain: 0 }, deadline: null };
    expect(advised(edge, { memory: inForce() })).toMatchObject({ action: 'drain', reasonCode: 'held' });
  });

  it('cannot be held where its action is no longer possible', () => {
    const memory = inForce({ action: 'winterize', method: 'air' });
    expect(advised({ chances: { nothing: 0.02, drain: 0 }, deadline: null }, { memory })).toMatchObject({
      action: 'nothing',
      reasonCode: 'within-tolerance',
    });
  });

  it('is held with the method that was advised', () => {
    const memory = inForce({ action: 'winterize', method: 'air', startBy: EPOCH + HOUR });
    expect(advised(CALM, { memory })).toMatchObject({
      action: 'winterize',
      method: 'air',
      boundBy: 'deadline',
    });
  });

  it('is late once its old time to start has passed, not at that instant', () => {
    const at = (startBy: number) => advised(CALM, { memory: inForce({ startBy }) });
    expect(at(EPOCH - 1)).toMatchObject({ startBy: EPOCH - 1, late: true, boundBy: 'deadline' });
    expect(at(EPOCH)).toMatchObject({ startBy: EPOCH, late: false, boundBy: 'deadline' });
  });

  it('takes the time to start of a forecast that has a deadline, and none where none ever had one', () => {
    const memory = inForce({ startBy: EPOCH + HOUR });
    expect(advised({ ...CALM, deadline: 60 }, { memory })).toMatchObject({
      reasonCode: 'held',
      startBy: EPOCH + 57 * HOUR,
    });
    expect(advised(CALM, { memory: inForce() })).toMatchObject({
      reasonCode: 'held',
      startBy: null,
      boundBy: 'none',
    });
  });

  it('is not relaxed by a forecast that ends early, whatever others said before', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    timeline.round(13, DRAIN);
    timeline.round(14, { ...DRAIN, chances: { ...DRAIN.chances, drain: 0.2 } });
    const others = [
      { forecast: 'one', at: EPOCH + 13 * HOUR, action: 'drain' },
      { forecast: 'two', at: EPOCH + 20 * HOUR, action: 'drain' },
    ] as const;
    timeline.memory = { ...timeline.memory, relaxing: others };
    const short = { ...DRAIN, windowCovered: false };
    expect(timeline.round(21, short).advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    expect(timeline.round(22, DRAIN).advice?.action).toBe('drain');
  });

  it('is relaxed by any two forecasts six hours apart, though the first was seen once more after them', () => {
    const spoke = (forecast: string, hour: number) => ({
      forecast,
      at: EPOCH + (hour - 24) * HOUR,
      action: 'nothing' as const,
    });
    const relaxing = [spoke('one', 0), spoke('two', 7), spoke('one', 8)];
    const memory = { ...inForce({ since: EPOCH - 3 * DAY }), relaxing };
    expect(advised({ ...CALM, forecast: 'one' }, { memory }).action).toBe('nothing');
    const near = { ...memory, relaxing: [spoke('one', 0), spoke('two', 5), spoke('one', 8)] };
    expect(advised({ ...CALM, forecast: 'one' }, { memory: near }).reasonCode).toBe('held');
  });

  it('is not relaxed by one forecast that was remembered twice', () => {
    const twice = [13, 20].map((hour) => ({
      forecast: 'the same',
      at: EPOCH + (hour - 24) * HOUR,
      action: 'nothing' as const,
    }));
    const memory = { ...inForce({ since: EPOCH - 3 * DAY }), relaxing: twice };
    expect(advised({ ...CALM, forecast: 'the same' }, { memory }).reasonCode).toBe('held');
  });
});

describe('forecasts that spoke for less', () => {
  const { relaxing: none } = decide(situation(0, CALM));
  const asked = (over: Weather, memory: Memory) => decide({ ...situation(0, over), memory }).relaxing;

  it('are not counted without advice, nor under one that is no weaker', () => {
    expect(none).toEqual([]);
    expect(asked(DRAIN, inForce())).toEqual([]);
  });

  it('are forgotten after three days', () => {
    const said = (ago: number) => ({ forecast: `${ago} s ago`, at: EPOCH - ago, action: 'nothing' as const });
    const relaxing = [said(3 * DAY + 1), said(3 * DAY), said(3 * DAY - 1)];
    const kept = asked({ ...CALM, windowCovered: false }, { ...inForce(), relaxing });
    expect(kept).toEqual([said(3 * DAY - 1)]);
  });

  it('are forgotten once a forecast speaks against them', () => {
    const relaxing = [{ forecast: 'one', at: EPOCH - HOUR, action: 'nothing' as const }];
    const against = { chances: { nothing: 0.025, drain: 0 }, deadline: null };
    expect(asked(against, { ...inForce(), relaxing })).toEqual([]);
  });

  it('are remembered once each', () => {
    const once = asked({ ...CALM, forecast: 'one' }, inForce());
    expect(once).toEqual([{ forecast: 'one', at: EPOCH, action: 'nothing' }]);
    expect(asked({ ...CALM, forecast: 'one' }, { ...inForce(), relaxing: once })).toEqual(once);
    expect(asked({ ...CALM, forecast: 'two' }, { ...inForce(), relaxing: once })).toHaveLength(2);
  });
});
