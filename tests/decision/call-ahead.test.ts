/** Work is first called for when its time to start by is near. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { Timeline, type Said } from './timeline.ts';

const POLICY = { ...DEFAULT_POLICY, callAheadHours: 18 };
/** Work, travel and margin of draining: 45 + 15 + 120 min. */
const DRAIN_HOURS = 3;
const DOUBTFUL = { chances: { nothing: 0.3, drain: 0.1, winterize: 0 }, deadline: 40 + DRAIN_HOURS };
const LIKELY = { chances: { nothing: 0.6, drain: 0.1, winterize: 0 }, deadline: 40 + DRAIN_HOURS };
const CALM = { chances: { nothing: 0, drain: 0, winterize: 0 }, deadline: null };

function kinds({ notices }: Said): string[] {
  return notices.map((n) => `${n.kind} ${n.action}`);
}

describe('with policy.callAhead', () => {
  it('says nothing of doubtful cold until so long before the time to start by, and then asks for the work', () => {
    const timeline = new Timeline(POLICY);
    const told = [0, 10, 21, 22, 23].map((hour) => kinds(timeline.round(hour, DOUBTFUL)));
    expect(told).toEqual([[], [], [], ['act drain'], []]);
  });

  it('has the advice all along: only the call waits', () => {
    expect(new Timeline(POLICY).round(0, DOUBTFUL).advice).toMatchObject({ action: 'drain' });
  });

  it('tells of likely cold in a heads-up, and asks for the work in its time, too', () => {
    const timeline = new Timeline(POLICY);
    const told = [0, 6, 21, 22, 23].map((hour) => kinds(timeline.round(hour, LIKELY)));
    expect(told).toEqual([
      ['heads-up nothing'],
      ['heads-up nothing'],
      ['heads-up nothing'],
      ['act drain'],
      [],
    ]);
  });

  it('asks at once for what nearly sure cold takes, and as soon as likely cold becomes nearly sure', () => {
    const of = (nothing: number): typeof LIKELY => ({ ...LIKELY, chances: { ...LIKELY.chances, nothing } });
    const sure = of(0.9);
    expect(kinds(new Timeline(POLICY).round(0, sure))).toEqual(['act drain']);
    const timeline = new Timeline(POLICY);
    timeline.round(0, of(0.89));
    expect(kinds(timeline.round(6, sure))).toEqual(['act drain']);
  });

  it('announces far cold, and once more which work it takes when that is known', () => {
    const timeline = new Timeline(POLICY);
    const far = { ...CALM, chanceAhead: 0.6 };
    const keys = (said: Said): string[] => said.notices.map(({ kind, episode }) => `${kind} ${episode}`);
    const id = 'blue.2026-11-23T12:00:00Z';
    expect(keys(timeline.round(0, far))).toEqual([`heads-up ${id}`]);
    expect(keys(timeline.round(1, LIKELY))).toEqual([`heads-up ${id}.planned`]);
    // Nothing is said again where the work goes out of sight for a while: the outbox knows this one.
    expect(keys(timeline.round(2, far))).toEqual([`heads-up ${id}.planned`]);
    expect(timeline.memory.told.map(({ kind }) => kind)).toEqual(['heads-up', 'heads-up']);
  });

  it('announces nothing of a unit that may have frozen: that is looked at first', () => {
    const timeline = new Timeline(POLICY);
    expect(kinds(timeline.round(0, { ...LIKELY, alreadyDamaged: true }))).toEqual(['frozen drain']);
    expect([1, 21, 22].map((hour) => kinds(timeline.round(hour, LIKELY)))).toEqual([[], [], ['act drain']]);
    // Where nobody looks, farther cold is announced all the same.
    const left = new Timeline(POLICY);
    left.round(0, { ...CALM, alreadyDamaged: true });
    const far = { ...CALM, chanceAhead: 0.6 };
    expect([1, 23, 24].map((hour) => kinds(left.round(hour, far)))).toEqual([[], [], ['heads-up nothing']]);
  });

  it('calls for nothing early because the forecast is back', () => {
    const timeline = new Timeline(POLICY);
    timeline.round(0, LIKELY);
    timeline.blind(10, true);
    const { notices } = timeline.round(11, LIKELY);
    expect(notices.filter(({ forecastBack }) => forecastBack === true).map(({ kind }) => kind)).toEqual([
      'heads-up',
    ]);
    expect(
      [21, 22, 23].map((hour) => kinds(timeline.round(hour, LIKELY)).filter((k) => k !== 'heads-up nothing')),
    ).toEqual([[], ['act drain'], []]);
  });

  it('keeps the wait for cold that work was done for, though other cold is announced meanwhile', () => {
    const timeline = new Timeline(POLICY);
    timeline.round(0, { ...LIKELY, deadline: 20 });
    timeline.round(3, { ...CALM, acted: true, chanceIfWet: 1 });
    timeline.round(6, { ...CALM, acted: true, chanceAhead: 0.6, chanceIfWet: 1 });
    const calm = { ...CALM, acted: true };
    expect([7, 18, 23].map((hour) => kinds(timeline.round(hour, calm)))).toEqual([[], [], []]);
    expect(kinds(timeline.round(25, calm))).toEqual(['all-clear nothing']);
  });

  it('has nothing to take back where doubtful cold goes away', () => {
    const timeline = new Timeline(POLICY);
    timeline.round(0, DOUBTFUL);
    const told = [6, 13, 20, 48].map((hour) => kinds(timeline.round(hour, CALM)));
    expect(told).toEqual([[], [], [], []]);
  });

  it('asks for it at once where it is as near as that, and at the latest hour as late', () => {
    expect(kinds(new Timeline(POLICY).round(30, DOUBTFUL))).toEqual(['act drain']);
    expect(kinds(new Timeline(POLICY).round(41, DOUBTFUL))).toEqual(['late drain']);
  });

  it('asks for it in its time without a forecast, too: nothing has taken it back', () => {
    const timeline = new Timeline(POLICY);
    timeline.round(0, DOUBTFUL);
    const told = [10, 22, 23].map((hour) => kinds(timeline.blind(hour, false)));
    expect(told).toEqual([[], ['act drain'], []]);
  });

  it('is a day where nothing else is said; with a week, the work is asked for as soon as there is any', () => {
    const usual = new Timeline(DEFAULT_POLICY);
    expect([0, 15, 16].map((hour) => kinds(usual.round(hour, DOUBTFUL)))).toEqual([[], [], ['act drain']]);
    const ready = (weather: typeof LIKELY): Said =>
      new Timeline({ ...DEFAULT_POLICY, callAheadHours: 168 }).round(0, weather);
    expect([DOUBTFUL, LIKELY].map((weather) => kinds(ready(weather)))).toEqual([
      ['act drain'],
      ['act drain'],
    ]);
  });
});
