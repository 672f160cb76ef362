/** What is offered again in every round, for those who have not got it, and who hears of the end. */
import { describe, expect, it } from 'vitest';
import type { AddressedNotice } from '../../src/decision/memory.ts';
import { ANN, EPOCH, Timeline } from './timeline.ts';

const DRAIN = { nothing: 0.6, drain: 0.1, winterize: 0 };
const WINTERIZE = { nothing: 0.9, drain: 0.4, winterize: 0 };
const CALM = { chances: { nothing: 0 }, deadline: null };
const BO = { person: 'bo', headsUpHours: 120 };

function words(notices: readonly AddressedNotice[]): string[] {
  return notices.map((n) => `${n.kind} ${n.action} to ${n.to.join(' ')}`);
}

describe('what stands', () => {
  it('is what was last told, under the key of its first telling', () => {
    const timeline = new Timeline();
    const first = timeline.round(0, { chances: DRAIN, deadline: 60 });
    expect(first.standing).toEqual([]);
    const second = timeline.round(1, { chances: DRAIN, deadline: 58 });
    expect(second.notices).toEqual([]);
    expect(words(second.standing)).toEqual(['act drain to ann']);
    // 45 min of work, 15 of travel and the margin of 2 h before the deadline of now.
    expect(second.standing[0]).toMatchObject({
      episode: first.notices[0]?.episode,
      startBy: EPOCH + 55 * 3600,
      useBefore: EPOCH + 55 * 3600,
    });
  });

  it('is nothing once there is nothing to do', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const drained = { chances: { nothing: 0 }, deadline: null, acted: true, chanceIfWet: 1 };
    expect(timeline.round(5, drained).standing).toEqual([]);
  });

  it('does not ask for a start at a time that has gone by', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    timeline.round(1, { chances: { ...DRAIN, nothing: 0.01 }, deadline: null });
    const { advice, standing } = timeline.round(58, { chances: { ...DRAIN, nothing: 0.03 }, deadline: null });
    expect(advice).toMatchObject({ reasonCode: 'held', late: true });
    expect(standing).toEqual([]);
  });

  it('stays as it was told when less work would do, since that is not told', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: WINTERIZE, deadline: 60 });
    const mild = { chances: { nothing: 0.6, drain: 0.05, winterize: 0 }, deadline: 60 };
    for (const hour of [13, 20]) timeline.round(hour, mild);
    expect(timeline.memory.advice?.action).toBe('drain');
    expect(words(timeline.round(21, mild).standing)).toEqual(['act winterize to ann']);
  });

  it('holds for the suspicion of a freeze and for the loss of the forecast, too', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: { nothing: 0.9 }, deadline: 40, alreadyDamaged: true, frozenPath: true });
    expect(words(timeline.blind(1, true).notices)).toEqual(['no-forecast nothing to ann']);
    expect(words(timeline.blind(2, true).standing)).toEqual([
      'frozen nothing to ann',
      'no-forecast nothing to ann',
    ]);
  });
});

describe('a contact who was added since', () => {
  it('hears what holds as the first they hear of it, whatever it was to the others', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    timeline.round(1, { chances: WINTERIZE, deadline: 60 });
    timeline.contacts = [ANN, BO];
    const { notices, standing } = timeline.round(2, { chances: WINTERIZE, deadline: 60 });
    expect(notices).toEqual([]);
    expect(words(standing)).toEqual(['worse winterize to ann', 'act winterize to bo']);
    expect(standing[1]).toMatchObject({ previous: null });
  });

  it('hears that it is late when it is', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 2 });
    timeline.contacts = [ANN, BO];
    const { standing } = timeline.round(1, { chances: DRAIN, deadline: 2 });
    expect(words(standing)).toEqual(['late drain to ann', 'late drain to bo']);
  });

  it('hears the rest with the others', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 33 });
    timeline.contacts = [ANN, BO];
    timeline.round(5, { chances: DRAIN, deadline: 33 });
    const { notices, standing } = timeline.round(28, { chances: DRAIN, deadline: 33 });
    expect(words(notices)).toEqual(['last-call drain to ann bo']);
    expect(standing).toEqual([]);
  });
});

describe('the all-clear', () => {
  it('goes to those who were told of the cold, and to nobody else', () => {
    const timeline = new Timeline();
    timeline.contacts = [ANN, { ...BO, headsUpHours: 24 }];
    const far = { chances: { nothing: 0 }, deadline: null, chanceAhead: 0.9, firstDamage: 96 };
    expect(words(timeline.round(0, far).notices)).toEqual(['heads-up nothing to ann']);
    // Twelve hours of forecasts without it: what was announced may come back with the next.
    expect(words(timeline.round(1, CALM).notices)).toEqual([]);
    expect(words(timeline.round(13, CALM).notices)).toEqual(['all-clear nothing to ann']);
  });

  it('goes to those, too, who were told later than the others', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    timeline.contacts = [ANN, BO];
    timeline.round(1, { chances: DRAIN, deadline: 60 });
    expect(words(timeline.round(80, { ...CALM, acted: true }).notices)).toEqual([
      'all-clear nothing to ann bo',
    ]);
  });

  it('goes to everyone for an episode of a program that did not keep who was told', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const { memory } = timeline;
    const { heard: _heard, ...episode } = memory.episode ?? { id: '', since: 0 };
    timeline.memory = { ...memory, episode, told: memory.told.map(({ to: _to, ...said }) => said) };
    timeline.contacts = [ANN, BO];
    expect(words(timeline.round(1, { chances: DRAIN, deadline: 60 }).standing)).toEqual([
      'act drain to ann bo',
    ]);
    expect(words(timeline.round(80, { ...CALM, acted: true }).notices)).toEqual([
      'all-clear nothing to ann bo',
    ]);
  });
});

describe('a forecast that is back', () => {
  const blind = (): Timeline => {
    const timeline = new Timeline();
    timeline.round(0, CALM);
    timeline.blind(1, false);
    timeline.blind(12, true);
    return timeline;
  };

  it('is told once to those who heard of its loss, as an all-clear where the unit is safe', () => {
    const timeline = blind();
    const { notices } = timeline.round(20, CALM);
    expect(words(notices)).toEqual(['all-clear nothing to ann']);
    expect(notices).toMatchObject([{ forecastBack: true, episode: 'blue.blind.2026-11-23T13:00:00Z' }]);
    expect(timeline.round(21, CALM).notices).toEqual([]);
  });

  it('is no all-clear where the unit would not be safe full of water', () => {
    const { notices } = blind().round(20, { ...CALM, chanceIfWet: 1 });
    expect(notices).toMatchObject([{ kind: 'heads-up', forecastBack: true }]);
  });

  it('brings the advice in force with it, in the words of that advice', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 90 });
    timeline.blind(12, true);
    const { notices } = timeline.round(20, { chances: DRAIN, deadline: 90 });
    expect(notices).toMatchObject([{ kind: 'act', action: 'drain', forecastBack: true }]);
    expect(timeline.round(21, { chances: DRAIN, deadline: 90 }).notices).toEqual([]);
  });

  it('needs no message of its own where there is other news', () => {
    const { notices } = blind().round(20, { chances: DRAIN, deadline: 90 });
    expect(words(notices)).toEqual(['act drain to ann']);
    expect(notices[0]?.forecastBack).toBeUndefined();
  });

  it('is no news where its loss was not told', () => {
    const timeline = new Timeline();
    timeline.round(0, CALM);
    timeline.blind(1, false);
    expect(timeline.round(2, CALM).notices).toEqual([]);
  });
});
