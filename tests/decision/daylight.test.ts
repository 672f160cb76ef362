/** Stretches of daylight and of air above freezing. */
import { getPosition } from 'suncalc';
import { describe, expect, it } from 'vitest';
import { aboveFreezing, daylightBetween, intersection } from '../../src/decision/daylight.ts';
import { iso, seconds } from '../support/instants.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const DENVER = { latitude: 39.74, longitude: -104.99 };
const TROMSO = { latitude: 69.65, longitude: 18.96 };

describe('daylight', () => {
  const noon = seconds('2026-12-21T19:00:00Z');

  // From memory, sun tables of Denver, 21 December: sunrise 7:17, sunset 16:39 MST (UTC−7); good to a few minutes.
  it('lasts from sunrise to sunset, in Denver 9 h 22 min on the shortest day', () => {
    const [day, ...rest] = daylightBetween(DENVER, noon, noon + HOUR);
    expect(rest).toEqual([]);
    expect(Math.abs(day!.start - seconds('2026-12-21T14:17:00Z'))).toBeLessThan(5 * 60);
    expect(Math.abs(day!.end - seconds('2026-12-21T23:39:00Z'))).toBeLessThan(5 * 60);
  });

  it('is that of every day asked for and of no other', () => {
    const days = daylightBetween(DENVER, noon, noon + 3 * DAY);
    expect(days).toHaveLength(4);
    for (const [i, { start, end }] of days.entries()) {
      expect(start).toBeLessThan(noon + i * DAY);
      expect(end).toBeGreaterThan(noon + i * DAY);
    }
    const night = seconds('2026-12-22T04:00:00Z');
    expect(daylightBetween(DENVER, night, night + 6 * HOUR)).toEqual([]);
  });

  it('of a day ends with its sunset and begins with its sunrise, to the second', () => {
    const [day] = daylightBetween(DENVER, noon, noon);
    const before = daylightBetween(DENVER, day!.start - HOUR, day!.start);
    expect(before).toEqual([]);
    expect(daylightBetween(DENVER, day!.end, day!.end + HOUR)).toEqual([]);
    expect(daylightBetween(DENVER, day!.start - HOUR, day!.start + 1)).toHaveLength(1);
    expect(daylightBetween(DENVER, day!.end - 1, day!.end + HOUR)).toHaveLength(1);
  });

  it('never ends in the polar day, and never begins in the polar night', () => {
    const june = seconds('2026-06-15T00:00:00Z');
    const bright = daylightBetween(TROMSO, june, june + 3 * DAY);
    expect(bright).toHaveLength(1);
    expect(bright[0]!.start).toBeLessThanOrEqual(june);
    expect(bright[0]!.end).toBeGreaterThanOrEqual(june + 3 * DAY);
    expect(daylightBetween(TROMSO, noon, noon + 3 * DAY)).toEqual([]);
  });
});

describe('daylight at the edge of what a calendar day is', () => {
  /** Degrees above the horizon by which half the sun shows, refraction included: its radius. */
  const RADIUS = 0.27;

  // Another function of the library: where the sun stands at an instant, whatever day it is.
  it.each(['2026-05-15T00:00:00Z', '2026-05-15T18:00:00Z', '2026-07-23T00:00:00Z', '2026-07-23T18:00:00Z'])(
    'is where the sun is up, from %s on, though midnight sun begins or ends',
    (asked) => {
      const from = seconds(asked);
      const days = daylightBetween(TROMSO, from, from + 5 * DAY);
      // Every ten minutes, since the last nights before the midnight sun last an hour.
      const instants = Array.from({ length: 721 }, (_, i) => from + i * 600);
      const wrong = instants.filter((at) => {
        const above = getPosition(new Date(at * 1000), TROMSO.latitude, TROMSO.longitude).altitude + RADIUS;
        const isLight = days.some(({ start, end }) => start <= at && at <= end);
        // Within a fifth of a degree the two may differ: one of them lets the sun stay where it is at noon.
        return Math.abs(above) > 0.2 && isLight !== above > 0;
      });
      expect(wrong).toEqual([]);
    },
  );

  // By suncalc’s sunsets of 2026 the last night of spring there is that of 17 May, the first of summer that of 25 July.
  it('has its last and its first short night where midnight sun begins and ends', () => {
    const nights = (from: string) => {
      const days = daylightBetween(TROMSO, seconds(from), seconds(from) + 5 * DAY);
      return days
        .slice(1)
        .map(({ start }, i) => ({ from: days[i]!.end, minutes: (start - days[i]!.end) / 60 }));
    };
    const last = nights('2026-05-15T18:00:00Z').at(-1)!;
    expect(iso(last.from).slice(0, 10)).toBe('2026-05-17');
    expect(last.minutes).toBeLessThan(30);
    const [first] = nights('2026-07-23T18:00:00Z');
    expect(iso(first!.from).slice(0, 10)).toBe('2026-07-25');
    expect(first!.minutes).toBeLessThan(30);
  });

  // On the equator it is day from six to six by the sun, which stands highest at 0:04 UTC at 179° east (12 h − 179/15)
  // and at 23:56 UTC at 179° west, give or take a quarter of an hour through the year.
  it('is found on both sides of the date line, where one date has the evening and the morning of two days', () => {
    const isLight = (longitude: number, instant: string) => {
      const at = seconds(instant);
      return daylightBetween({ latitude: 0, longitude }, at, at).length === 1;
    };
    for (const longitude of [179, -179]) {
      expect(isLight(longitude, '2026-12-10T03:00:00Z')).toBe(true);
      expect(isLight(longitude, '2026-12-10T12:00:00Z')).toBe(false);
      expect(isLight(longitude, '2026-12-10T21:00:00Z')).toBe(true);
    }
  });
});

describe('air above freezing', () => {
  const hours = (...values: number[]) =>
    aboveFreezing(0, values).map(({ start, end }) => [start / HOUR, end / HOUR]);

  it('begins and ends where the line between two hours crosses 0 °C', () => {
    expect(hours(-1, 1, -3)).toEqual([[0.5, 1.25]]);
    expect(hours(-3, 1, 1, -1)).toEqual([[0.75, 2.5]]);
    expect(hours(2, 2, 2)).toEqual([[0, 2]]);
    expect(hours(3, -1)).toEqual([[0, 0.75]]);
    expect(aboveFreezing(10 * HOUR, [-1, 1])).toEqual([{ start: 10.5 * HOUR, end: 11 * HOUR }]);
  });

  it('is not air that only touches 0 °C or stays there', () => {
    expect(hours(-1, 0, -1)).toEqual([]);
    expect(hours(0, 0)).toEqual([]);
    expect(hours(-2, -1)).toEqual([]);
    expect(hours(-1, 0, 2)).toEqual([[1, 2]]);
    expect(hours(2, 0, -1)).toEqual([[0, 1]]);
  });

  it('comes in as many stretches as there are', () => {
    expect(hours(1, -1, -1, 1)).toEqual([
      [0, 0.5],
      [2.5, 3],
    ]);
  });

  it('is not claimed of hours that nobody knows', () => {
    expect(hours(-1, Number.NaN, -1)).toEqual([]);
    expect(hours(1, Number.NaN, 1, 1, -1)).toEqual([[2, 3.5]]);
    expect(hours(1)).toEqual([]);
    expect(hours()).toEqual([]);
  });
});

describe('the intersection of two sets of stretches', () => {
  const day = { start: 8, end: 16 };

  it('is what lies in both, in order of time', () => {
    const warm = [
      { start: 30, end: 40 },
      { start: 10, end: 12 },
      { start: 14, end: 24 },
    ];
    expect(intersection(warm, [{ start: 32, end: 60 }, day])).toEqual([
      { start: 10, end: 12 },
      { start: 14, end: 16 },
      { start: 32, end: 40 },
    ]);
  });

  it('leaves out what only touches', () => {
    expect(intersection([day], [{ start: 16, end: 20 }])).toEqual([]);
    expect(intersection([day], [{ start: 2, end: 8 }])).toEqual([]);
    expect(intersection([day], [])).toEqual([]);
  });
});
