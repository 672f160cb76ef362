/** Who hears what: silence that was asked for, people on the way, and what is told in place of something else. */
import { describe, expect, it } from 'vitest';
import { decide } from '../../src/decision/decide.ts';
import { hears, withSilences, type Hearing } from '../../src/decision/hearing.ts';
import { EMPTY_MEMORY, type AddressedNotice, type Memory } from '../../src/decision/memory.ts';
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

describe('what whoever asked for silence knew', () => {
  const QUIET = { ...ANN, silentUntil: at(10) };
  const said = (over: Partial<Memory['told'][number]>): Memory => ({
    ...EMPTY_MEMORY,
    told: [{ kind: 'act', action: 'drain', at: at(0), startBy: null, ...over }],
  });
  const hearsOf = (memory: Memory, over: Partial<Hearing> = {}, contact = QUIET): boolean =>
    hears(contact, { kind: 'worse', action: 'drain', now: at(5), memory, ...over });

  it('is the work that they were told of, or that all were, and not what others were', () => {
    expect(hearsOf(EMPTY_MEMORY)).toBe(true);
    expect(hearsOf(said({ to: ['ann'] }))).toBe(false);
    expect(hearsOf(said({}))).toBe(false);
    expect(hearsOf(said({ to: ['bo'] }))).toBe(true);
  });

  it('is not what was told without asking for work', () => {
    expect(hearsOf(said({ kind: 'heads-up', action: 'winterize' }))).toBe(true);
  });

  it('is what their own silence began with, and not another’s or an earlier one', () => {
    const silence = { person: 'ann', until: at(10), action: 'drain' } as const;
    const since = (over: Partial<typeof silence> | object): Memory => ({
      ...EMPTY_MEMORY,
      silences: [{ ...silence, ...over }],
    });
    expect(hearsOf(since({}))).toBe(false);
    expect(hearsOf(since({}), { action: 'winterize' })).toBe(true);
    expect(hearsOf(since({ person: 'bo' }))).toBe(true);
    expect(hearsOf(since({ until: at(9) }))).toBe(true);
  });

  it('holds to the end of the silence and no longer', () => {
    const memory = said({});
    expect(hearsOf(memory, { now: at(10) - 1 })).toBe(false);
    expect(hearsOf(memory, { now: at(10) })).toBe(true);
  });

  it('does not make them hear that all is well, nor of cold far ahead', () => {
    expect(hearsOf(EMPTY_MEMORY, { kind: 'all-clear', action: 'nothing' })).toBe(false);
    expect(hearsOf(EMPTY_MEMORY, { kind: 'heads-up', action: 'winterize' })).toBe(false);
  });

  it('is kept for each while their silence lasts, and for nobody else', () => {
    const bo = { ...BO, silentUntil: at(3) };
    const kept = withSilences(said({}), [QUIET, bo, { ...BO, person: 'cy' }], at(2));
    expect(kept.silences).toEqual([
      { person: 'ann', until: at(10), action: 'drain' },
      { person: 'bo', until: at(3), action: 'drain' },
    ]);
    expect(withSilences(kept, [QUIET, bo], at(3)).silences).toHaveLength(1);
    expect(withSilences(kept, [ANN, BO], at(3))).not.toHaveProperty('silences');
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
