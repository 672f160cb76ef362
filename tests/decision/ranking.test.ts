/** Where nothing suffices: what costs least with the loss after it, and how long advice in force stays. By hand. */
import { describe, expect, it } from 'vitest';
import type { Candidate } from '../../src/decision/candidate.ts';
import { decide, type Situation } from '../../src/decision/decide.ts';
import { EMPTY_MEMORY, type Memory } from '../../src/decision/memory.ts';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { EPOCH, situation } from './timeline.ts';

const HOUR = 3600;

type Priced = readonly [action: Candidate['action'], cost: number, loss: number, over?: Partial<Candidate>];

function asked(candidates: readonly Priced[], over: Partial<Situation> = {}): Situation {
  const of = situation(0, { chances: { nothing: 1 }, deadline: 60 });
  const all = candidates.map(([action, cost, loss, more]) => ({
    action,
    method: action === 'winterize' ? ('air' as const) : null,
    chance: 1,
    money: { cost, loss },
    ...more,
  }));
  return { ...of, candidates: all, ...over };
}

const advised = (candidates: readonly Priced[], over: Partial<Situation> = {}) =>
  decide(asked(candidates, over)).advice;

// A full trailer before −36 °C: a trap fails whatever is done, and everything else with it if nothing is.
const FULL: readonly Priced[] = [
  ['nothing', 0, 1551],
  ['drain', 30, 124.6],
  ['winterize', 56, 46.28],
];

describe('where every chance is one', () => {
  it('the work is advised that costs least with the loss after it', () => {
    expect(advised(FULL)).toMatchObject({ action: 'winterize', reasonCode: 'nothing-suffices' });
    const dear: readonly Priced[] = [...FULL.slice(0, 2), ['winterize', 56, 1205]];
    expect(advised(dear)).toMatchObject({ action: 'drain', reasonCode: 'nothing-suffices' });
  });

  it('nothing is only where no work lowers it', () => {
    expect(
      advised([
        ['nothing', 0, 27],
        ['winterize', 20, 7.01],
      ]),
    ).toMatchObject({ action: 'nothing', reasonCode: 'nothing-suffices' });
    expect(
      advised([
        ['nothing', 0, 27],
        ['winterize', 20, 6.99],
      ]).action,
    ).toBe('winterize');
  });

  it('a loss counts as many times itself as the user’s caution says', () => {
    const traps: readonly Priced[] = [
      ['nothing', 0, 27],
      ['winterize', 20, 10],
    ];
    expect(advised(traps).action).toBe('nothing');
    expect(advised(traps, { policy: { ...DEFAULT_POLICY, caution: 2 } }).action).toBe('winterize');
  });

  it('of two that cost alike the lesser chance goes first, then the lesser work', () => {
    const alike = (chance: number): readonly Priced[] => [
      ['nothing', 0, 500],
      ['drain', 30, 70],
      ['winterize', 60, 40, { chance }],
    ];
    expect(advised(alike(0.9)).action).toBe('winterize');
    expect(advised(alike(1)).action).toBe('drain');
  });

  it('a dearer way is no better for a lesser chance', () => {
    const chances: readonly Priced[] = [
      ['nothing', 0, 1551],
      ['drain', 30, 124],
      ['winterize', 60, 1200, { chance: 0.9 }],
    ];
    expect(advised(chances).action).toBe('drain');
  });

  it('work that is too late only by the clock is hurried with, though by that clock it saves nothing', () => {
    const late: readonly Priced[] = [
      ['nothing', 0, 900],
      ['drain', 30, 900, { chanceIfDone: 0.6 }],
      ['winterize', 60, 900, { chanceIfDone: 0.1 }],
    ];
    expect(advised(late).action).toBe('winterize');
    // What would have left as much has nothing to hurry for.
    expect(
      advised([
        ['nothing', 0, 900],
        ['drain', 30, 900, { chanceIfDone: 1 }],
      ]).action,
    ).toBe('nothing');
  });
});

describe('ice in the way', () => {
  it('leaves the work round it, which is no waiting for the thaw', () => {
    const round = { circuits: ['cold', 'hot'], closed: ['flush'] };
    const open: readonly Priced[] = [
      ['nothing', 0, 830.89],
      ['drain', 30, 293.44, round],
    ];
    expect(advised(open, { frozenPath: true })).toMatchObject({
      action: 'drain',
      reasonCode: 'nothing-suffices',
      ...round,
    });
  });

  it('has nothing blown or pumped into the lines beside it, though that would leave less; traps are poured full', () => {
    const winterized = (circuits: readonly string[]): readonly Priced[] => [
      ['nothing', 0, 800],
      ['drain', 30, 300, { circuits: ['cold'], closed: ['flush'] }],
      ['winterize', 60, 100, { circuits, closed: ['flush'] }],
    ];
    expect(advised(winterized(['cold', 'trap-bath']), { frozenPath: true }).action).toBe('drain');
    expect(advised(winterized(['trap-bath']), { frozenPath: true }).action).toBe('winterize');
  });

  it('is waited for where the work begins with the thaw, or where none brings anything', () => {
    const afterwards: readonly Priced[] = [
      ['nothing', 0, 830],
      ['drain', 30, 300],
    ];
    expect(advised(afterwards, { frozenPath: true })).toMatchObject({
      action: 'drain',
      reasonCode: 'frozen-path',
    });
    expect(
      advised(
        [
          ['nothing', 0, 674],
          ['drain', 30, 660, { closed: ['flush'] }],
        ],
        { frozenPath: true },
      ),
    ).toMatchObject({ action: 'nothing', reasonCode: 'frozen-path' });
  });
});

describe('advice in force where nothing suffices', () => {
  const inForce = (hoursAgo: number): Memory => ({
    ...EMPTY_MEMORY,
    advice: { action: 'winterize', method: 'air', startBy: EPOCH + HOUR, since: EPOCH - hoursAgo * HOUR },
  });
  const drainAt = (total: number): readonly Priced[] => [
    ['nothing', 0, 1551],
    ['drain', 30, total - 30],
    ['winterize', 60, 140],
  ];

  it('stays for twelve hours, however much better another one looks', () => {
    for (const hours of [0, 1, 11.99]) {
      const advice = advised(drainAt(31), { memory: inForce(hours) });
      expect(advice).toMatchObject({ action: 'winterize', reasonCode: 'nothing-suffices' });
    }
    expect(advised(drainAt(31), { memory: inForce(12) }).action).toBe('drain');
  });

  it('stays after them until another one saves a fifth', () => {
    expect(advised(drainAt(160), { memory: inForce(48) }).action).toBe('winterize');
    expect(advised(drainAt(159.9), { memory: inForce(48) }).action).toBe('drain');
  });

  it('is never withdrawn by a forecast that ends before the window', () => {
    const over = { memory: inForce(48), windowCovered: false };
    expect(advised(drainAt(31), over).action).toBe('winterize');
  });

  it('is not withdrawn for nothing by a colder forecast one hour later', () => {
    const colder: readonly Priced[] = [
      ['nothing', 0, 100],
      ['winterize', 60, 90],
    ];
    expect(advised(colder, { memory: inForce(1) }).action).toBe('winterize');
    expect(advised(colder).action).toBe('nothing');
  });

  it('gives way where the person acted, where its action is no longer possible, and to a stronger one', () => {
    expect(advised(drainAt(31), { memory: inForce(1), acted: true }).action).toBe('drain');
    expect(advised(drainAt(31).slice(0, 2), { memory: inForce(1) }).action).toBe('drain');
    const drain = { ...inForce(1).advice!, action: 'drain' as const, method: null };
    expect(advised(FULL, { memory: { ...EMPTY_MEMORY, advice: drain } }).action).toBe('winterize');
  });

  it('does not hold up what waits for the thaw', () => {
    const closed: readonly Priced[] = [
      ['nothing', 0, 10],
      ['winterize', 60, 10, { closed: ['cold'] }],
    ];
    expect(advised(closed, { memory: inForce(1), frozenPath: true })).toMatchObject({
      action: 'nothing',
      reasonCode: 'frozen-path',
    });
  });
});
