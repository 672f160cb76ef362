/**
 * When a day begins. Denver is UTC−7 in winter and UTC−6 in summer (the rule of the United States since 2007); Chile's
 * clocks go forward at midnight of the first Sunday after 1 September, from UTC−4 to UTC−3 (from memory).
 */
import { describe, expect, it } from 'vitest';
import { startOfDay } from '../../src/decision/local-day.ts';
import { seconds } from '../support/instants.ts';

const DENVER = 'America/Denver';

describe('a day', () => {
  it('begins at midnight by the clocks of its zone', () => {
    expect(startOfDay('2026-12-01', DENVER)).toBe(seconds('2026-12-01T07:00:00Z'));
    expect(startOfDay('2026-07-01', DENVER)).toBe(seconds('2026-07-01T06:00:00Z'));
    expect(startOfDay('2026-12-01', 'UTC')).toBe(seconds('2026-12-01T00:00:00Z'));
  });

  it('whose midnight the clocks leave out begins an hour later', () => {
    expect(startOfDay('2026-09-06', 'America/Santiago')).toBe(seconds('2026-09-06T04:00:00Z'));
  });

  it('that no calendar has never begins, nor one in a zone that is none', () => {
    expect(startOfDay('2026-02-29', DENVER)).toBeNull();
    expect(startOfDay('2028-02-29', DENVER)).toBe(seconds('2028-02-29T07:00:00Z'));
    expect(startOfDay('2026-13-01', DENVER)).toBeNull();
    expect(startOfDay('2026-12-01', 'Nowhere/None')).toBeNull();
  });

  it.each([
    ['2026-12-01T09:00'],
    ['+002026-12-01'],
    [' 2026-12-01'],
    ['20261201'],
    ['2026-W49-2'],
    ['2026-335'],
    ['2026-12'],
    ['1 December'],
    [''],
  ])('is not told by %o', (text) => {
    expect(startOfDay(text, DENVER)).toBeNull();
  });
});
