import { describe, expect, it } from 'vitest';
import { formatLocal, formatNear, sameClock, zoneAbbreviation } from '../../src/quantity/local-time.ts';
import { at } from './facts.ts';

const DENVER = 'America/Denver';

describe('instants as people read them', () => {
  it('has weekday, date, 24-hour clock and zone', () => {
    expect(formatLocal(at('2026-11-26T22:10:00Z'), DENVER)).toBe('Thu 26 Nov, 15:10 MST');
  });

  // IANA tz database: America/Denver leaves daylight saving on 2026-11-01 at 08:00 UTC.
  it('tells the two half past ones of the autumn change apart', () => {
    expect(formatLocal(at('2026-11-01T07:30:00Z'), DENVER)).toBe('Sun 1 Nov, 01:30 MDT');
    expect(formatLocal(at('2026-11-01T08:30:00Z'), DENVER)).toBe('Sun 1 Nov, 01:30 MST');
  });

  it('adds the zone to a short time only where the clocks change in between', () => {
    const before = at('2026-10-31T18:00:00Z');
    expect(formatNear(at('2026-11-01T06:30:00Z'), before, DENVER)).toBe('Sun 00:30');
    expect(formatNear(at('2026-11-01T13:00:00Z'), before, DENVER)).toBe('Sun 06:00 MST');
  });

  it('adds the date where the weekday alone could be another week', () => {
    expect(formatNear(at('2026-12-03T13:00:00Z'), at('2026-11-25T15:00:00Z'), DENVER)).toBe(
      'Thu 3 Dec, 06:00',
    );
  });

  it('rounds down to the minute, so that a deadline is never printed late', () => {
    expect(formatLocal(at('2026-11-26T22:10:59.900Z'), DENVER)).toBe('Thu 26 Nov, 15:10 MST');
  });

  it('writes midnight as 00:00 of the new day', () => {
    expect(formatLocal(at('2026-11-26T07:00:00Z'), DENVER)).toBe('Thu 26 Nov, 00:00 MST');
  });

  it('names zones outside America, and gives the offset where English has no name', () => {
    expect(zoneAbbreviation(at('2026-01-10T00:00:00Z'), 'Europe/Berlin')).toBe('CET');
    expect(zoneAbbreviation(at('2026-01-10T00:00:00Z'), 'Australia/Sydney')).toBe('AEDT');
    expect(zoneAbbreviation(at('2026-01-10T00:00:00Z'), 'America/Sao_Paulo')).toBe('GMT-3');
  });

  it('knows two zones whose clocks agree only for half the year', () => {
    expect(sameClock(at('2026-01-10T00:00:00Z'), DENVER, 'America/Phoenix')).toBe(true);
    expect(sameClock(at('2026-07-10T00:00:00Z'), DENVER, 'America/Phoenix')).toBe(false);
  });
});
