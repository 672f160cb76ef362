/**
 * Free hours by the wall clock. Offsets of the zone: Denver is UTC−7, and UTC−6 from 8 March to 1 November 2026,
 * changed at 02:00 (the rule of the United States since 2007: second Sunday in March, first Sunday in November).
 */
import { describe, expect, it } from 'vitest';
import { freeBetween, freeOfAny } from '../../src/decision/free-hours.ts';
import { startBy } from '../../src/decision/start-by.ts';
import { parseFreeTime, type FreeTime } from '../../src/quantity/clock-time.ts';
import { iso, seconds } from '../support/instants.ts';

const DENVER = 'America/Denver';

function times(...texts: readonly string[]): readonly FreeTime[] {
  return texts.map((text) => parseFreeTime(text)!);
}

function between(from: string, to: string, ...texts: readonly string[]): string[] {
  const found = freeBetween(times(...texts), { timeZone: DENVER, from: seconds(from), to: seconds(to) });
  return found.map(({ start, end }) => `${iso(start)} ${iso(end)}`);
}

describe('free hours', () => {
  it('are those of the days named, in the zone of the person', () => {
    // Friday 20 to Monday 23 November 2026.
    expect(between('2026-11-20T19:00:00Z', '2026-11-23T19:00:00Z', 'Sa-Su 08:00-18:00')).toEqual([
      '2026-11-21T15:00:00Z 2026-11-22T01:00:00Z',
      '2026-11-22T15:00:00Z 2026-11-23T01:00:00Z',
    ]);
  });

  it('past midnight belong to the day on which they begin, also when that was before', () => {
    expect(between('2026-11-21T08:00:00Z', '2026-11-21T09:00:00Z', 'Fr 22:00-02:00')).toEqual([
      '2026-11-21T05:00:00Z 2026-11-21T09:00:00Z',
    ]);
  });

  it('in the nights in which clocks change are an hour shorter or longer', () => {
    expect(between('2026-03-07T19:00:00Z', '2026-03-08T19:00:00Z', 'Sa 22:00-06:00')).toEqual([
      '2026-03-08T05:00:00Z 2026-03-08T12:00:00Z',
    ]);
    expect(between('2026-10-31T19:00:00Z', '2026-11-01T19:00:00Z', 'Sa 22:00-06:00')).toEqual([
      '2026-11-01T04:00:00Z 2026-11-01T13:00:00Z',
    ]);
  });

  it('that touch or overlap are one', () => {
    expect(
      between(
        '2026-11-21T12:00:00Z',
        '2026-11-22T00:00:00Z',
        'Sa 08:00-12:00',
        'Sa 10:00-16:00',
        'Sa 16:00-17:00',
      ),
    ).toEqual(['2026-11-21T15:00:00Z 2026-11-22T00:00:00Z']);
  });

  it('in whatever order they are named come by time', () => {
    const day = ['2026-11-21T12:00:00Z', '2026-11-22T00:00:00Z'] as const;
    expect(between(...day, 'Sa 15:00-16:00', 'Sa 08:00-09:00', 'Sa 08:30-10:00')).toEqual([
      '2026-11-21T15:00:00Z 2026-11-21T17:00:00Z',
      '2026-11-21T22:00:00Z 2026-11-21T23:00:00Z',
    ]);
    expect(between(...day, 'Sa 08:00-16:00', 'Sa 09:00-10:00')).toEqual([
      '2026-11-21T15:00:00Z 2026-11-21T23:00:00Z',
    ]);
  });

  it('that are over before, or begin only after, are none', () => {
    // Saturday 10:00 to 14:00.
    const span = ['2026-11-21T17:00:00Z', '2026-11-21T21:00:00Z'] as const;
    expect(between(...span, 'Sa 07:00-09:00')).toEqual([]);
    expect(between(...span, 'Sa 07:00-10:00')).toEqual([]);
    expect(between(...span, 'Sa 14:00-15:00')).toEqual([]);
    expect(between(...span, 'Sa 15:00-16:00')).toEqual([]);
    expect(between(...span, 'Sa 07:00-10:01', 'Sa 13:59-15:00')).toHaveLength(2);
  });

  it('that fall into the hour which the clocks leave out are none', () => {
    const night = ['2026-03-08T00:00:00Z', '2026-03-08T19:00:00Z'] as const;
    expect(between(...night, 'Su 02:00-03:00')).toEqual([]);
    expect(between(...night, 'Su 02:30-03:00')).toEqual([]);
    expect(between(...night, 'Su 02:00-04:00')).toEqual(['2026-03-08T09:00:00Z 2026-03-08T10:00:00Z']);
  });

  it('of several people are those of any, and none hold where one of them named none', () => {
    const from = seconds('2026-11-20T19:00:00Z');
    const to = from + 3 * 86_400;
    const sat = { timeZone: DENVER, free: times('Sa 08:00-09:00') };
    const sun = { timeZone: 'America/New_York', free: times('Su 08:00-09:00') };
    expect(freeOfAny([sat, sun], from, to)?.map((i) => iso(i.start))).toEqual([
      '2026-11-21T15:00:00Z',
      '2026-11-22T13:00:00Z',
    ]);
    expect(freeOfAny([sat, { timeZone: DENVER, free: null }], from, to)).toBeNull();
    expect(freeOfAny([], from, to)).toBeNull();
  });
});

describe('a time to start by within free hours', () => {
  /** Friday noon in Denver. */
  const NOW = seconds('2026-11-20T19:00:00Z');
  /** Tuesday 22:00 there. */
  const DEADLINE = seconds('2026-11-25T05:00:00Z');
  const asked = (free: readonly string[] | null, daylight: boolean, travelMinutes = 0) => ({
    deadlineAt: DEADLINE,
    workMinutes: 60,
    travelMinutes,
    marginMinutes: 120,
    now: NOW,
    daylight: daylight
      ? freeBetween(times('Mo-Su 07:00-16:30'), { timeZone: DENVER, from: NOW, to: DEADLINE })
      : null,
    thawed: [],
    free: free === null ? null : freeBetween(times(...free), { timeZone: DENVER, from: NOW, to: DEADLINE }),
  });

  it('is on Sunday for who is free at weekends, though the cold comes on Tuesday night', () => {
    const found = startBy(asked(['Sa-Su 08:00-18:00'], true));
    expect(found).toMatchObject({ boundBy: 'daylight', late: false, inFreeHours: true });
    // Work of an hour ends at dusk.
    expect(iso(found.startBy)).toBe('2026-11-22T22:30:00Z');
  });

  it('is the last free hour where light is all one', () => {
    expect(iso(startBy(asked(['Sa-Su 08:00-18:00'], false)).startBy)).toBe('2026-11-23T00:00:00Z');
  });

  it('has its travel within them, too', () => {
    const found = startBy(asked(['Su 08:00-10:00'], false, 45));
    expect(iso(found.startBy)).toBe('2026-11-22T15:15:00Z');
    expect(startBy(asked(['Su 08:00-10:00'], false, 61))).toMatchObject({ inFreeHours: false });
  });

  it('takes light within 36 h before the last free hour, and dark hours rather than go further back', () => {
    const found = startBy(asked(['Sa 08:00-12:00', 'Su 18:00-20:00'], true));
    expect(iso(found.startBy)).toBe('2026-11-21T18:00:00Z');
    expect(found.boundBy).toBe('daylight');
    const far = startBy(asked(['Sa 08:00-12:00', 'Mo 18:00-20:00'], true));
    expect(iso(far.startBy)).toBe('2026-11-24T02:00:00Z');
    expect(far).toMatchObject({ boundBy: 'deadline', inFreeHours: true });
  });

  it('falls outside where none are left, as if nobody had named any', () => {
    const { inFreeHours, ...rest } = startBy(asked(['We 08:00-18:00'], true));
    expect(inFreeHours).toBe(false);
    expect(rest).toEqual(startBy(asked(null, true)));
  });

  it('that has passed says nothing of them', () => {
    const found = startBy({ ...asked(['Sa-Su 08:00-18:00'], true), deadlineAt: NOW + 3600 });
    expect(found).toEqual({ startBy: NOW + 3600 - 3 * 3600, boundBy: 'deadline', late: true });
  });
});
