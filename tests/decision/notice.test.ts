/** Until when a message is of use, and which may wait for the morning. */
import { describe, expect, it } from 'vitest';
import type { MessageKind } from '../../src/decision/memory.ts';
import { noticeOf } from '../../src/decision/notice.ts';

const NOW = 1_000_000;
const HOUR = 3600;
const DAY = 24 * HOUR;

function notice(kind: MessageKind, startBy: number | null = null, deadlineAt: number | null = null) {
  return noticeOf(kind, { episode: 'e', action: 'drain', startBy, now: NOW, deadlineAt, previous: null });
}

function usefulHours(kind: MessageKind, startBy: number | null = null, deadlineAt: number | null = null) {
  return (notice(kind, startBy, deadlineAt).useBefore - NOW) / HOUR;
}

describe('a message is of use', () => {
  it.each([
    ['act', 24],
    ['worse', 24],
    ['last-call', 6],
    ['late', 12],
    ['heads-up', 24],
    ['no-forecast', 24],
    ['all-clear', 48],
    ['frozen', 168],
    ['fill-again', 168],
  ] as const)('%s for %i hours where nothing else ends it', (kind, hours) => {
    expect(usefulHours(kind)).toBe(hours);
  });

  it('until the time to start by, after which it would mislead', () => {
    expect(usefulHours('act', NOW + 30 * HOUR)).toBe(30);
    expect(usefulHours('last-call', NOW + 2 * HOUR, NOW + 9 * HOUR)).toBe(2);
    expect(usefulHours('worse', NOW + 60)).toBe(1 / 60);
  });

  it('until the damage where the time to start has passed', () => {
    expect(usefulHours('late', NOW - HOUR, NOW + 3 * HOUR)).toBe(3);
    expect(usefulHours('late', NOW + 5 * HOUR, null)).toBe(12);
  });

  it('for its usual time where what would end it has passed', () => {
    expect(usefulHours('act', NOW - HOUR)).toBe(24);
    expect(usefulHours('act', NOW)).toBe(24);
    expect(usefulHours('late', null, NOW - HOUR)).toBe(12);
  });

  it('for a day when there is no forecast, though work that was told before should begin sooner', () => {
    expect(usefulHours('no-forecast', NOW + 2 * HOUR)).toBe(24);
  });
});

describe('quiet hours hold back', () => {
  it.each(['heads-up', 'all-clear', 'fill-again'] as const)('%s', (kind) => {
    expect(notice(kind, NOW + HOUR).canWait).toBe(true);
    expect(notice(kind).canWait).toBe(true);
  });

  it.each(['last-call', 'late', 'frozen', 'no-forecast'] as const)('never %s', (kind) => {
    expect(notice(kind, NOW + 9 * DAY).canWait).toBe(false);
  });

  it.each(['act', 'worse'] as const)('%s only while more than a day is left', (kind) => {
    expect(notice(kind, NOW + DAY + 1).canWait).toBe(true);
    expect(notice(kind, NOW + DAY).canWait).toBe(false);
    expect(notice(kind, null).canWait).toBe(false);
  });
});
