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

  it('with no time left is offered again to those whom it has not reached, while it lies ahead', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(5, null));
    expect(rounds.round(1, fill(5, null)).standing).toMatchObject([{ useBefore: NOW + 5 * HOUR }]);
    expect(rounds.round(6).standing).toEqual([]);
  });

  it('that comes so near that no time is left to plan is told again where hours are lost by it', () => {
    const seen = (): Rounds => {
      const rounds = new Rounds();
      for (const hour of [0, 20, 40]) rounds.round(hour, fill(60, 50, 'cold'));
      return rounds;
    };
    expect(seen().said(44, fill(45, null, 'cold'))).toEqual(['fill-by .2']);
    const slower = seen();
    expect(slower.said(45, fill(46, null, 'cold'))).toEqual([]);
    // Time that is found again is not told as a loss.
    expect(slower.said(46, fill(80, 70, 'cold'))).toEqual([]);
  });

  it('was never planned for where there was no time: it is not told again when there is some', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(5, null, 'cold'));
    expect(rounds.said(1, fill(40, 30, 'cold'))).toEqual([]);
  });

  it('once past by what was told first is of use for days, since it moved', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(5, null, 'cold'));
    const [still] = rounds.round(6, fill(9, null, 'cold')).standing;
    expect(still?.useBefore).toBe(NOW + (6 + 48) * HOUR);
  });
});

describe('the end of water and of dump', () => {
  const dump = (shut: number, start: number | null, because: 'date' | 'cold' = 'date'): ServiceDue => ({
    ...fill(shut, start, because),
    kind: 'dump-by',
  });

  it('are told each, in their order, and each once', () => {
    const rounds = new Rounds();
    const { notices } = rounds.round(0, dump(60, 48), fill(60, 50));
    expect(notices.map(({ kind }) => kind)).toEqual(['dump-by', 'fill-by']);
    const again = rounds.round(1, dump(60, 48), fill(60, 50));
    expect(again.notices).toEqual([]);
    expect(again.standing.map(({ kind }) => kind)).toEqual(['dump-by', 'fill-by']);
    expect(rounds.memory).toHaveLength(2);
  });

  it('by cold are told apart, too', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(60, 50, 'cold'));
    expect(rounds.said(1, dump(60, 48, 'cold'), fill(60, 50, 'cold'))).toHaveLength(1);
  });

  it('for another reason is another end', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(60, 50));
    expect(rounds.said(1, fill(60, 50, 'cold'))).toHaveLength(1);
    expect(rounds.said(2, fill(60, 50))).toEqual([]);
  });

  it('are known to the outbox by unit, reason, end and telling', () => {
    const rounds = new Rounds();
    const episodes = [
      rounds.round(0, fill(60, 50)),
      rounds.round(1, fill(70, 60)),
      rounds.round(2, fill(60, 50, 'cold')),
      rounds.round(3, fill(50, 40, 'cold')),
      tellService({ unit: 'red', now: NOW, due: [fill(60, 50)], contacts: ['ann'] }, []),
    ].flatMap(({ notices }) => notices.map(({ episode }) => episode));
    expect(episodes).toHaveLength(5);
    expect(new Set(episodes).size).toBe(5);
  });
});

describe('what was said of an end', () => {
  const DAY = 24;

  it('is forgotten a month after it', () => {
    const rounds = new Rounds();
    rounds.round(0, fill(60, 50));
    expect(rounds.round(60 + 29 * DAY).memory).toHaveLength(1);
    expect(rounds.round(60 + 31 * DAY).memory).toEqual([]);
  });

  it('is kept while its cold is still ahead, however long', () => {
    const rounds = new Rounds();
    const told: string[] = [];
    for (let hour = 0; hour < 50 * DAY; hour += 12)
      told.push(...rounds.said(hour, fill(hour + 40, hour + 30, 'cold')));
    expect(told).toHaveLength(1);
  });
});
