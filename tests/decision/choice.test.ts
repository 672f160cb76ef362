/** Which action is advised, and how long a stronger one stands. */
import { describe, expect, it } from 'vitest';
import { decide } from '../../src/decision/decide.ts';
import { situation, Timeline, type Weather } from './timeline.ts';

const DRAIN = { chances: { nothing: 0.6, drain: 0.1, winterize: 0 }, deadline: 60 };
const WINTERIZE = { chances: { nothing: 0.9, drain: 0.4, winterize: 0 }, deadline: 60 };
const CALM = { chances: { nothing: 0.02, drain: 0, winterize: 0 }, deadline: null };

function advised(of: Weather) {
  return decide(situation(0, of)).advice;
}

describe('the least action within its tolerance', () => {
  it('is nothing up to 5 %, at 5 % too', () => {
    expect(advised({ ...CALM, chances: { nothing: 0, drain: 0 } })).toMatchObject({
      action: 'nothing',
      reasonCode: 'no-freeze',
      boundBy: 'none',
      startBy: null,
      workMinutes: 0,
    });
    expect(advised({ chances: { nothing: 0.05, drain: 0 }, deadline: 60 })).toMatchObject({
      action: 'nothing',
      reasonCode: 'within-tolerance',
    });
    expect(advised({ chances: { nothing: 0.051, drain: 0 }, deadline: 60 }).action).toBe('drain');
  });

  it('is to keep warm where that leaves at most 5 %, else to drain where that leaves at most 25 %', () => {
    const chances = { nothing: 1, 'keep-warm': 0.05, drain: 0, winterize: 0 };
    expect(advised({ chances, deadline: 60 })).toMatchObject({
      action: 'keep-warm',
      reasonCode: 'cold-ahead',
    });
    expect(advised({ chances: { ...chances, 'keep-warm': 0.06 }, deadline: 60 }).action).toBe('drain');
    expect(advised({ chances: { nothing: 1, drain: 0.25, winterize: 0 }, deadline: 60 }).action).toBe(
      'drain',
    );
    expect(advised({ chances: { nothing: 1, drain: 0.26, winterize: 0 }, deadline: 60 })).toMatchObject({
      action: 'winterize',
      method: 'antifreeze',
      workMinutes: 90,
    });
  });

  it('is the one that leaves least where nothing suffices, the lesser work of two alike', () => {
    expect(advised({ chances: { nothing: 1, drain: 0.7, winterize: 0.4 }, deadline: 60 })).toMatchObject({
      action: 'winterize',
      reasonCode: 'nothing-suffices',
    });
    expect(advised({ chances: { nothing: 1, drain: 0.4, winterize: 0.4 }, deadline: 60 })).toMatchObject({
      action: 'drain',
      reasonCode: 'nothing-suffices',
    });
  });

  it('hurries with what would have helped where time has run out for all alike', () => {
    const asked = situation(0, { chances: { nothing: 1, drain: 1, winterize: 1 }, deadline: 1 });
    const ifDone = { nothing: 1, 'keep-warm': 1, 'drain-part': 1, drain: 0.3, winterize: 0 };
    const candidates = asked.candidates.map((c) => ({ ...c, chanceIfDone: ifDone[c.action] }));
    expect(decide({ ...asked, candidates }).advice).toMatchObject({
      action: 'winterize',
      reasonCode: 'nothing-suffices',
      late: true,
    });
  });

  it('says that ice stands in the way where nothing else can be done', () => {
    expect(advised({ chances: { nothing: 0.8 }, deadline: 30, frozenPath: true })).toMatchObject({
      action: 'nothing',
      reasonCode: 'frozen-path',
    });
  });
});

describe('a stronger action', () => {
  it('is advised at once', () => {
    const timeline = new Timeline();
    expect(timeline.round(0, DRAIN).advice?.action).toBe('drain');
    expect(timeline.round(1, WINTERIZE).advice?.action).toBe('winterize');
  });

  it('gives way only to two different forecasts six hours apart, and twelve hours after it', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    expect(timeline.round(3, DRAIN).advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    // The second forecast is nine hours after the first; the advice is not yet twelve hours old.
    expect(timeline.round(11.9, DRAIN).advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    expect(timeline.round(12, DRAIN).advice).toMatchObject({ action: 'drain', reasonCode: 'cold-ahead' });
  });

  it('stands where the second forecast comes five hours after the first, and gives way after six', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    expect(timeline.round(14, DRAIN).advice?.reasonCode).toBe('held');
    expect(timeline.round(19, DRAIN).advice?.reasonCode).toBe('held');
    expect(timeline.round(20, DRAIN).advice?.action).toBe('drain');
  });

  it('stands under the same forecast, however often it is looked at', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    for (const hour of [13, 20, 30, 40]) {
      const { advice } = timeline.round(hour, { ...DRAIN, forecast: 'the same' });
      expect(advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    }
    expect(timeline.round(41, { ...DRAIN, forecast: 'another' }).advice?.action).toBe('drain');
  });

  it('stands where the weaker one is within its tolerance but not under half of it', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    const near = { chances: { nothing: 0.6, drain: 0.125, winterize: 0 }, deadline: 60 };
    for (const hour of [13, 26, 39]) {
      expect(timeline.round(hour, near).advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    }
    const under = { ...near, chances: { ...near.chances, drain: 0.124 } };
    expect(timeline.round(45, under).advice?.reasonCode).toBe('held');
    expect(timeline.round(51, under).advice?.action).toBe('drain');
  });

  it('stands where a forecast between the two speaks against relaxing', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    timeline.round(13, DRAIN);
    timeline.round(16, WINTERIZE);
    expect(timeline.round(20, DRAIN).advice?.reasonCode).toBe('held');
    expect(timeline.round(25, DRAIN).advice?.reasonCode).toBe('held');
    expect(timeline.round(26, DRAIN).advice?.action).toBe('drain');
  });

  it('does not give way to nothing where only one of two forecasts spoke for nothing', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    timeline.round(13, DRAIN);
    expect(timeline.round(20, CALM).advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    expect(timeline.round(26, CALM).advice?.action).toBe('nothing');
  });

  it('gives way to draining where one forecast spoke for draining and the other for nothing', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    timeline.round(13, CALM);
    expect(timeline.round(20, DRAIN).advice?.action).toBe('drain');
  });

  it('stands under forecasts that end before the window does, and they confirm nothing', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    for (const hour of [13, 20, 27, 34]) {
      expect(timeline.round(hour, { ...CALM, windowCovered: false }).advice?.reasonCode).toBe('held');
    }
    expect(timeline.round(40, CALM).advice?.reasonCode).toBe('held');
    expect(timeline.round(46, CALM).advice?.action).toBe('nothing');
  });

  it('gives way at once when the person has acted', () => {
    const timeline = new Timeline();
    timeline.round(0, WINTERIZE);
    expect(timeline.round(1, { ...CALM, acted: true }).advice).toMatchObject({
      action: 'nothing',
      reasonCode: 'within-tolerance',
    });
  });

  it('keeps its old start-by time where the newer forecast sees no damage', () => {
    const timeline = new Timeline();
    const first = timeline.round(0, DRAIN).advice;
    expect(timeline.round(13, CALM).advice).toMatchObject({
      action: 'drain',
      reasonCode: 'held',
      startBy: first?.startBy,
      late: false,
    });
  });
});
