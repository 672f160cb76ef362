/** Who hears what: silence that was asked for, people on the way, and what is told in place of something else. */
import { describe, expect, it } from 'vitest';
import { decide } from '../../src/decision/decide.ts';
import type { AddressedNotice } from '../../src/decision/memory.ts';
import { ANN, EPOCH, Timeline, situation, type Weather } from './timeline.ts';

const HOUR = 3600;
const DRAIN = { nothing: 0.6, drain: 0.1, winterize: 0 };
const WINTERIZE = { nothing: 0.9, drain: 0.4, winterize: 0 };
const CALM: Weather = { chances: { nothing: 0 }, deadline: null };
const BO = { person: 'bo', headsUpHours: 120 };
const at = (hour: number): number => EPOCH + hour * HOUR;

function words(notices: readonly AddressedNotice[]): string[] {
  return notices.map((n) => `${n.kind} ${n.action} to ${n.to.join(' ')}`);
}

describe('whoever asked for silence', () => {
  const silenced = (): Timeline => {
    const timeline = new Timeline();
    timeline.contacts = [ANN, BO];
    timeline.round(0, { chances: DRAIN, deadline: 40 });
    timeline.contacts = [{ ...ANN, silentUntil: at(100) }, BO];
    return timeline;
  };

  it('hears no reminder of what they knew, while others do', () => {
    const timeline = silenced();
    const cold = { chances: DRAIN, deadline: 40 };
    expect(words(timeline.round(1, cold).standing)).toEqual(['act drain to bo']);
    expect(words(timeline.round(35, cold).notices)).toEqual(['last-call drain to bo']);
    expect(words(timeline.round(38, cold).notices)).toEqual(['late drain to bo']);
  });

  it('hears of more work, once, and of ice', () => {
    const timeline = silenced();
    const worse = { chances: WINTERIZE, deadline: 40 };
    expect(words(timeline.round(2, worse).notices)).toEqual(['worse winterize to ann bo']);
    expect(words(timeline.round(35, worse).notices)).toEqual(['last-call winterize to bo']);
    expect(words(timeline.round(36, { ...worse, alreadyDamaged: true }).notices)).toContain(
      'frozen winterize to ann bo',
    );
  });

  it('still knows of it after an all-clear, and hears again when the silence is over', () => {
    const timeline = silenced();
    timeline.round(5, { ...CALM, acted: true });
    expect(words(timeline.round(50, { chances: DRAIN, deadline: 110 }).notices)).toEqual(['act drain to bo']);
    const { standing } = timeline.round(100, { chances: DRAIN, deadline: 110 });
    expect(words(standing)).toContain('act drain to ann');
  });
});

it('whoever is on the way is not reminded until then, and then hears what holds', () => {
  const timeline = new Timeline();
  timeline.contacts = [ANN, BO];
  const cold = { chances: DRAIN, deadline: 40 };
  timeline.round(0, cold);
  timeline.contacts = [{ ...ANN, onTheWayUntil: at(39) }, BO];
  expect(words(timeline.round(35, cold).notices)).toEqual(['last-call drain to bo']);
  expect(words(timeline.round(36, cold).standing)).toEqual(['last-call drain to bo']);
  expect(words(timeline.round(38, cold).notices)).toEqual(['late drain to bo']);
  expect(words(timeline.round(38.5, cold).standing)).toEqual(['late drain to bo']);
  expect(words(timeline.round(39, cold).standing)).toEqual(['late drain to bo', 'late drain to ann']);
});

describe('a freeze', () => {
  const ICE: Weather = { chances: { nothing: 0 }, deadline: null, frozenPath: true };

  it('is told once, whether first seen by its damage or by its ice', () => {
    const damage = new Timeline();
    damage.round(0, { chances: DRAIN, deadline: 40, alreadyDamaged: true });
    expect(damage.round(1, ICE).notices).toEqual([]);
    const ice = new Timeline();
    expect(words(ice.round(0, ICE).notices)).toEqual(['frozen nothing to ann']);
    expect(ice.round(1, { ...ICE, alreadyDamaged: true }).notices).toEqual([]);
    expect(ice.memory.suspectSince).toBe(at(1));
  });

  it('long after the ice was told is told in its own right', () => {
    const timeline = new Timeline();
    timeline.round(0, ICE);
    expect(words(timeline.round(12, { ...ICE, alreadyDamaged: true }).notices)).toEqual([
      'frozen nothing to ann',
    ]);
  });
});

describe('filling again', () => {
  const drained = (): Timeline => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 40 });
    timeline.round(5, { ...CALM, acted: true, chanceIfWet: 1, standsDrained: true });
    return timeline;
  };

  it('is told in place of the all-clear where it is safe as far ahead as is believed', () => {
    const timeline = drained();
    const safe = { ...CALM, standsDrained: true, chanceIfWetAhead: 0.025 };
    expect(words(timeline.round(60, safe).notices)).toEqual(['fill-again nothing to ann']);
    expect(timeline.round(61, safe).notices).toEqual([]);
  });

  it('follows the all-clear, once, where it is safe only later', () => {
    const timeline = drained();
    const unsafe = { ...CALM, standsDrained: true, chanceIfWetAhead: 0.026 };
    const safe = { ...unsafe, chanceIfWetAhead: 0 };
    expect(words(timeline.round(60, unsafe).notices)).toEqual(['all-clear nothing to ann']);
    expect(timeline.round(61, unsafe).notices).toEqual([]);
    expect(words(timeline.round(90, safe).notices)).toEqual(['fill-again nothing to ann']);
    expect(timeline.round(91, safe).notices).toEqual([]);
  });

  it('is not told of a unit that was filled meanwhile, nor of one that is winterized', () => {
    const timeline = drained();
    timeline.round(60, { ...CALM, standsDrained: true });
    timeline.round(61, CALM);
    expect(timeline.round(90, { ...CALM, standsDrained: true, chanceIfWetAhead: 0 }).notices).toEqual([]);
    const winterized = drained();
    expect(words(winterized.round(60, { ...CALM, chanceIfWetAhead: 0 }).notices)).toEqual([
      'all-clear nothing to ann',
    ]);
  });
});

describe('the action', () => {
  const asked = (drainInSpell: number, winterizeInSpell: number, nothing = 0.6) => ({
    ...situation(0, { chances: DRAIN, deadline: 60 }),
    candidates: [
      { action: 'nothing' as const, method: null, chance: nothing },
      { action: 'drain' as const, method: null, chance: 0.1, chanceInSpell: drainInSpell },
      {
        action: 'winterize' as const,
        method: 'antifreeze' as const,
        chance: 0,
        chanceInSpell: winterizeInSpell,
      },
    ],
  });

  it('lasts to the end of the cold in which the window ends, if any does', () => {
    expect(decide(asked(0.25, 0)).advice.action).toBe('drain');
    expect(decide(asked(0.26, 0)).advice.action).toBe('winterize');
    expect(decide(asked(0.26, 0.3)).advice.action).toBe('drain');
  });

  it('is none where the window itself asks for none', () => {
    expect(decide(asked(0.9, 0.9, 0.05)).advice.action).toBe('nothing');
  });
});
