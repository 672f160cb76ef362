import { describe, expect, it } from 'vitest';
import { endOfQuiet } from '../../src/decision/quiet-hours.ts';
import { iso, seconds } from '../support/instants.ts';

const NIGHT = { fromMinute: 22 * 60, toMinute: 7 * 60 };
const NOON = { fromMinute: 12 * 60, toMinute: 13 * 60 + 30 };

function ends(now: string, quiet = NIGHT, timeZone = 'America/Denver'): string {
  return iso(endOfQuiet(quiet, timeZone, seconds(now)));
}

describe('the end of the quiet hours', () => {
  it('is now outside them', () => {
    expect(ends('2026-11-24T04:59:00Z')).toBe('2026-11-24T04:59:00Z');
    expect(ends('2026-11-24T14:00:00Z')).toBe('2026-11-24T14:00:00Z');
  });

  it('is seven in the morning, before and after midnight', () => {
    expect(ends('2026-11-24T05:00:00Z')).toBe('2026-11-24T14:00:00Z');
    expect(ends('2026-11-24T13:59:30Z')).toBe('2026-11-24T14:00:00Z');
  });

  it('does not wrap where it need not', () => {
    expect(ends('2026-11-24T19:10:00Z', NOON)).toBe('2026-11-24T20:30:00Z');
    expect(ends('2026-11-24T20:30:00Z', NOON)).toBe('2026-11-24T20:30:00Z');
    expect(ends('2026-11-24T19:00:00Z', NOON)).toBe('2026-11-24T20:30:00Z');
    expect(ends('2026-11-24T18:59:00Z', NOON)).toBe('2026-11-24T18:59:00Z');
  });

  it('is now where they begin when they end: there are none', () => {
    const none = { fromMinute: 22 * 60, toMinute: 22 * 60 };
    expect(ends('2026-11-24T05:00:00Z', none)).toBe('2026-11-24T05:00:00Z');
    expect(ends('2026-11-24T12:00:00Z', none)).toBe('2026-11-24T12:00:00Z');
  });

  // Clocks in Denver: MDT is UTC−6, MST is UTC−7 (IANA time zone database).
  it('is an hour of standard time later in the night of 2026-11-01, when clocks go back', () => {
    expect(ends('2026-11-01T04:30:00Z')).toBe('2026-11-01T14:00:00Z');
    // Both times that the clock shows 01:30.
    expect(ends('2026-11-01T07:30:00Z')).toBe('2026-11-01T14:00:00Z');
    expect(ends('2026-11-01T08:30:00Z')).toBe('2026-11-01T14:00:00Z');
  });

  it('is an hour of summer time earlier in the night of 2027-03-14, when clocks go forward', () => {
    expect(ends('2027-03-14T05:30:00Z')).toBe('2027-03-14T13:00:00Z');
    expect(ends('2027-03-14T09:30:00Z')).toBe('2027-03-14T13:00:00Z');
  });

  it('comes after the gap where it would fall into the hour that clocks skip', () => {
    const untilHalfPastTwo = { fromMinute: 22 * 60, toMinute: 2 * 60 + 30 };
    expect(ends('2027-03-14T08:00:00Z', untilHalfPastTwo)).toBe('2027-03-14T09:30:00Z');
  });
});
