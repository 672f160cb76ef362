import { describe, expect, it } from 'vitest';
import {
  formatLocal,
  formatNear,
  localDays,
  sameClock,
  zoneAbbreviation,
} from '../../src/quantity/local-time.ts';
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

describe('days of a zone', () => {
  const iso = (instant: number): string => new Date(instant * 1000).toISOString();
  const days = (from: string, to: string, zone: string): string[] =>
    localDays(Date.parse(from) / 1000, Date.parse(to) / 1000, zone).map(
      (day) => `${iso(day.at).slice(0, 16)} ${day.date}`,
    );

  it('begin at midnight by its clocks, on either side of a change', () => {
    // 1 November 2026 is 25 h long in Denver (IANA time zone database), 8 March 23 h.
    expect(days('2026-10-31T12:00:00Z', '2026-11-03T00:00:00Z', 'America/Denver')).toEqual([
      '2026-11-01T06:00 Sun 1 Nov',
      '2026-11-02T07:00 Mon 2 Nov',
    ]);
    expect(days('2026-03-08T00:30:00Z', '2026-03-10T00:00:00Z', 'America/Denver')).toEqual([
      '2026-03-08T07:00 Sun 8 Mar',
      '2026-03-09T06:00 Mon 9 Mar',
    ]);
  });

  it('begin an hour late where midnight is skipped', () => {
    // Santiago's clocks went from 24:00 on 5 September 2026 to 01:00 (IANA time zone database).
    expect(days('2026-09-05T12:00:00Z', '2026-09-07T12:00:00Z', 'America/Santiago')).toEqual([
      '2026-09-06T04:00 Sun 6 Sep',
      '2026-09-07T03:00 Mon 7 Sep',
    ]);
  });

  it('are counted in half and quarter hours, too, and a midnight at the start is not one that begins after it', () => {
    expect(days('2026-11-25T18:15:00Z', '2026-11-26T18:16:00Z', 'Asia/Kathmandu')).toEqual([
      '2026-11-26T18:15 Fri 27 Nov',
    ]);
  });
});
