/** What is said of the end of a service, round by round. */
import { describe, expect, it } from 'vitest';
import type { ServiceSaid } from '../../src/decision/memory.ts';
import { tellService, type ServiceDue, type ServiceTold } from '../../src/decision/tell-service.ts';

const NOW = 1_795_000_000;
const HOUR = 3600;

class Rounds {
  memory: readonly ServiceSaid[] = [];

  round(hour: number, ...due: readonly ServiceDue[]): ServiceTold {
    const told = tellService({ unit: 'blue', now: NOW + hour * HOUR, due, contacts: ['ann'] }, this.memory);
    this.memory = told.memory;
    return told;
  }

  said(hour: number, ...due: readonly ServiceDue[]): string[] {
    return this.round(hour, ...due).notices.map(({ kind, episode }) => `${kind} ${episode.slice(-2)}`);
  }
}

/** Hours from the first round. */
function fill(shut: number, start: number | null, because: 'date' | 'cold' = 'date'): ServiceDue {
  const startBy = start === null ? null : NOW + start * HOUR;
  return { kind: 'fill-by', closing: { at: NOW + shut * HOUR, because }, startBy };
}

describe('the end of a water service', () => {
  it('is told once, and offered again to those whom it has not reached while there is time', () => {
    const rounds = new Rounds();
    const [first] = rounds.round(0, fill(60, 50)).notices;
    expect(first).toMatchObject({
      kind: 'fill-by',
      action: 'nothing',
      useBefore: NOW + 50 * HOUR,
      to: ['ann'],
    });
    const later = rounds.round(1, fill(60, 50));
    expect(later.notices).toEqual([]);
    expect(later.standing).toMatchObject([{ kind: 'fill-by', episode: first?.episode }]);
    expect(rounds.round(51, fill(60, null)).standing).toEqual([]);
  });

  it('is told again when the time to start by comes six hours nearer, and not for five', () => {
    const rounds = new Rounds();
    expect(rounds.said(0, fill(60, 50, 'cold'))).toHaveLength(1);
    expect(rounds.said(1, fill(55, 45, 'cold'))).toEqual([]);
    expect(rounds.said(2, fill(54, 44, 'cold'))).toEqual(['fill-by .2']);
    expect(rounds.said(3, fill(54, 44, 'cold'))).toEqual([]);
    expect(rounds.said(4, fill(48, 38, 'cold'))).toEqual(['fill-by .3']);
  });

  it('by another date is another end', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(60, 50));
    expect(rounds.said(1, fill(62, 52))).toHaveLength(1);
  });

  it('by a cold that moves is one end, and another one after a day without it', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(60, 50, 'cold'));
    expect(rounds.said(1, fill(63, 53, 'cold'))).toEqual([]);
    expect(rounds.said(2)).toEqual([]);
    expect(rounds.said(24, fill(63, 53, 'cold'))).toEqual([]);
    expect(rounds.said(48, fill(90, 80, 'cold'))).toHaveLength(1);
  });

  it('with no time left to plan is told at once, and is of use until the end', () => {
    const rounds = new Rounds();
    expect(rounds.round(0, fill(2, null)).notices).toMatchObject([
      { startBy: null, useBefore: NOW + 2 * HOUR },
    ]);
    expect(rounds.said(1, fill(2, null))).toEqual([]);
  });

  it('told days ahead waits for the end of quiet hours, and nearer does not', () => {
    expect(new Rounds().round(0, fill(60, 50)).notices).toMatchObject([{ canWait: true }]);
    expect(new Rounds().round(0, fill(20, 10)).notices).toMatchObject([{ canWait: false }]);
  });
});
