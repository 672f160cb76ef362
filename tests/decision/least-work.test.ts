/** Nothing is advised that leaves no less than less work does; and what more is asked of warmth is told. */
import { describe, expect, it } from 'vitest';
import { outsideAction } from '../../src/decision/advice.ts';
import type { Candidate } from '../../src/decision/candidate.ts';
import { decide } from '../../src/decision/decide.ts';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import { tell } from '../../src/decision/tell.ts';
import type { Measure } from '../../src/model/measure.ts';
import { EPOCH, Timeline, situation } from './timeline.ts';

const HOUR = 3600;

function advised(...candidates: (Pick<Candidate, 'action' | 'chance'> & Partial<Candidate>)[]) {
  const of = situation(0, { chances: { nothing: 1 }, deadline: 60 });
  return decide({ ...of, candidates: candidates.map((c) => ({ method: null, ...c })) }).advice;
}

describe('an action that brings nothing', () => {
  it('is passed over though it is within its tolerance', () => {
    const nothing = { action: 'nothing', chance: 0.06 } as const;
    const drain = { action: 'drain', chance: 0.06 } as const;
    expect(advised(nothing, drain, { action: 'winterize', chance: 0 }).action).toBe('winterize');
    expect(advised(nothing, drain)).toMatchObject({ action: 'nothing', reasonCode: 'nothing-suffices' });
    expect(advised(nothing, { ...drain, chance: 0.059 }).action).toBe('drain');
  });

  it('is measured against every lesser action, not only against nothing', () => {
    const nothing = { action: 'nothing', chance: 0.9 } as const;
    const warm = { action: 'keep-warm', chance: 0.2 } as const;
    const drain = { action: 'drain', chance: 0.2 } as const;
    expect(advised(nothing, warm, drain, { action: 'winterize', chance: 0.1 }).action).toBe('winterize');
    expect(advised(nothing, warm, drain)).toMatchObject({
      action: 'keep-warm',
      reasonCode: 'nothing-suffices',
    });
  });

  it('gives way to the least work of those that leave the least', () => {
    const nothing = { action: 'nothing', chance: 1 } as const;
    const part = { action: 'drain-part', chance: 0.5 } as const;
    expect(advised(nothing, part, { action: 'drain', chance: 0.5 }).action).toBe('drain-part');
  });
});

describe('a partial drain', () => {
  it('comes before the whole one and after warmth', () => {
    const chances = { nothing: 0.9, 'keep-warm': 0.01, 'drain-part': 0.01, drain: 0.01 };
    const of = (without: string) =>
      advised(
        ...Object.entries(chances)
          .filter(([action]) => action !== without)
          .map(([action, chance], i) => ({
            action: action as Candidate['action'],
            chance: chance - i / 1000,
          })),
      ).action;
    expect(of('none')).toBe('keep-warm');
    expect(of('keep-warm')).toBe('drain-part');
  });

  it('is a drain to the outside, and so the outbox numbers both together', () => {
    expect(outsideAction('drain-part')).toEqual({ action: 'drain', partial: true });
    expect(outsideAction('drain')).toEqual({ action: 'drain' });
    const timeline = new Timeline();
    const worse = (hour: number, action: 'keep-warm' | 'drain-part' | 'drain') =>
      tell(finding(hour, action), timeline.memory);
    timeline.memory = worse(0, 'keep-warm').memory;
    const part = worse(1, 'drain-part');
    timeline.memory = part.memory;
    const whole = worse(2, 'drain');
    expect([part, whole].map(({ notices }) => notices.map((n) => `${n.kind} ${n.action}`))).toEqual([
      ['worse drain-part'],
      ['worse drain'],
    ]);
    // One key for both would lose the second: the outbox takes each kind and action once under a key.
    expect(part.notices[0]?.episode).not.toBe(whole.notices[0]?.episode);
  });
});

function finding(hour: number, action: 'keep-warm' | 'drain-part' | 'drain', measures?: readonly Measure[]) {
  return {
    unit: 'blue',
    now: EPOCH + hour * HOUR,
    advice: {
      action,
      method: null,
      startBy: EPOCH + 50 * HOUR,
      late: false,
      boundBy: 'deadline',
      workMinutes: 20,
      reasonCode: 'cold-ahead',
      ...(measures === undefined ? {} : { measures }),
    },
    relaxing: [],
    acted: false,
    chanceIfWet: 1,
    chanceAhead: 1,
    alreadyDamaged: false,
    deadlineAt: EPOCH + 55 * HOUR,
    firstDamageAt: null,
    lowest: null,
    blindTooLong: false,
    policy: situation(0, { chances: { nothing: 1 }, deadline: null }).policy,
    contacts: [{ person: 'ann', headsUpHours: 120 }],
  } as const;
}

describe('measures of keeping warm', () => {
  const HOSE = ['hose-off', 'furnace-on'] as const;

  function rounds(...asked: (readonly Measure[])[]) {
    let memory = EMPTY_MEMORY;
    return asked.map((measures, hour) => {
      const told = tell(finding(hour, 'keep-warm', measures), memory);
      memory = told.memory;
      return { kinds: told.notices.map(({ kind }) => kind), asked: memory.advice?.measures };
    });
  }

  it('that nobody was asked for are news; fewer are not, nor those that were asked before', () => {
    const more: readonly Measure[] = [...HOSE, 'cupboards-open'];
    expect(rounds(HOSE, HOSE, more, HOSE, more).map(({ kinds }) => kinds)).toEqual([
      ['act'],
      [],
      ['worse'],
      [],
      [],
    ]);
  });

  it('are remembered together, but for the newer of two ways to have water', () => {
    const through: readonly Measure[] = ['run-from-heated-hose', 'furnace-on'];
    const [, second, third] = rounds(['run-from-tank', ...HOSE, 'shower-open'], through, HOSE);
    expect(second?.asked).toEqual(['run-from-heated-hose', 'shower-open', 'furnace-on']);
    expect(third?.asked).toEqual(['hose-off', 'shower-open', 'furnace-on']);
  });
});
