/**
 * The rule of the start-by time, computed again by stepping minutes: the latest start at which travel, work and
 * margin fit before the deadline; in daylight and air above freezing first, then in daylight, then at any hour;
 * never moved more than 36 hours earlier.
 */
import { getTimes } from 'suncalc';
import { describe, expect, it } from 'vitest';
import { aboveFreezing, daylightBetween } from '../../src/decision/daylight.ts';
import { startBy } from '../../src/decision/start-by.ts';
import { seconds } from '../support/instants.ts';

const MINUTE = 60;
const HOUR = 3600;

interface Site {
  readonly latitude: number;
  readonly longitude: number;
}

const DENVER: Site = { latitude: 39.7, longitude: -105 };
const LONGYEARBYEN: Site = { latitude: 78.22, longitude: 15.64 };

interface Asked {
  readonly site: Site;
  readonly now: number;
  readonly deadlineAt: number;
  readonly workMinutes: number;
  readonly travelMinutes: number;
  /** Hourly from `now`. */
  readonly air: readonly number[];
}

function sunIsUp({ latitude, longitude }: Site, at: number): boolean {
  // The days around, since a date's sunset may fall on the next day in UTC.
  return [-1, 0, 1].some((day) => {
    const { sunrise, sunset, alwaysUp } = getTimes(new Date((at + day * 86_400) * 1000), latitude, longitude);
    if (alwaysUp === true) return day === 0;
    return (
      sunrise !== null && sunset !== null && sunrise.getTime() <= at * 1000 && at * 1000 <= sunset.getTime()
    );
  });
}

function isAboveFreezing({ now, air }: Asked, at: number): boolean {
  const position = (at - now) / HOUR;
  const i = Math.floor(position);
  const [from = Number.NaN, to = from] = [air[i], air[i + 1]];
  return from + (position - i) * (to - from) > 0;
}

function byMinutes(asked: Asked): { startBy: number; boundBy: string } {
  const { workMinutes, travelMinutes, deadlineAt, now } = asked;
  const latest = deadlineAt - MINUTE * (120 + workMinutes + travelMinutes);
  if (latest < now) return { startBy: latest, boundBy: 'deadline' };
  const minutes = Array.from({ length: workMinutes + 1 }, (_, i) => i * MINUTE);
  const during = (start: number, good: (at: number) => boolean): boolean =>
    minutes.every((m) => good(start + travelMinutes * MINUTE + m));
  const light = new Map<number, boolean>();
  const bright = (at: number): boolean => {
    if (!light.has(at)) light.set(at, sunIsUp(asked.site, at));
    return light.get(at)!;
  };
  for (const [boundBy, good] of [
    ['daylight-and-thaw', (at: number) => bright(at) && isAboveFreezing(asked, at)],
    ['daylight', bright],
  ] as const) {
    for (let start = latest; start >= Math.max(now, latest - 36 * HOUR); start -= MINUTE) {
      if (during(start, good)) return { startBy: start, boundBy };
    }
  }
  return { startBy: latest, boundBy: 'deadline' };
}

function ours(asked: Asked): { startBy: number; boundBy: string; late: boolean } {
  const end = asked.now + asked.air.length * HOUR;
  return startBy({
    deadlineAt: asked.deadlineAt,
    workMinutes: asked.workMinutes,
    travelMinutes: asked.travelMinutes,
    marginMinutes: 120,
    now: asked.now,
    daylight: daylightBetween(asked.site, asked.now, end),
    thawed: aboveFreezing(asked.now, asked.air),
  });
}

function expectAlike(asked: Asked): void {
  const theirs = byMinutes(asked);
  const mine = ours(asked);
  expect(mine.boundBy).toBe(theirs.boundBy);
  // A minute of their step, and a second of rounding.
  expect(Math.abs(mine.startBy - theirs.startBy)).toBeLessThanOrEqual(MINUTE + 1);
}

/** Nights of −6, days of +4, warmest at 21Z (14 in Denver). */
const FROSTY = Array.from({ length: 120 }, (_, i) => -1 + 5 * Math.cos((2 * Math.PI * (i - 9)) / 24));
const FROZEN = FROSTY.map((t) => t - 8);
const NOON = seconds('2026-12-01T12:00:00Z');

describe('the start-by time', () => {
  for (const hours of [4, 10, 17, 23, 29, 41, 60, 90]) {
    for (const [name, air] of [
      ['days above freezing', FROSTY],
      ['days below', FROZEN],
    ] as const) {
      it(`is that of the rule for a deadline ${hours} h ahead, ${name}`, () => {
        for (const [workMinutes, travelMinutes] of [
          [45, 0],
          [90, 40],
          [300, 20],
        ] as const) {
          const deadlineAt = NOON + hours * HOUR + 7 * MINUTE;
          expectAlike({ site: DENVER, now: NOON, deadlineAt, workMinutes, travelMinutes, air });
        }
      });
    }
  }

  it('is any hour in the polar night', () => {
    const asked = { site: LONGYEARBYEN, now: NOON, deadlineAt: NOON + 40 * HOUR, air: FROSTY };
    const found = ours({ ...asked, workMinutes: 45, travelMinutes: 15 });
    expect(found).toEqual({ startBy: NOON + 37 * HOUR, boundBy: 'deadline', late: false });
    expectAlike({ ...asked, workMinutes: 45, travelMinutes: 15 });
  });

  it('needs no thought of the night where the sun never sets', () => {
    const june = seconds('2026-06-10T00:00:00Z');
    const asked = { site: LONGYEARBYEN, now: june, deadlineAt: june + 40 * HOUR, air: FROZEN };
    expect(ours({ ...asked, workMinutes: 45, travelMinutes: 15 })).toEqual({
      startBy: june + 37 * HOUR,
      boundBy: 'daylight',
      late: false,
    });
  });

  it('is past and late where there is not time enough', () => {
    const deadlineAt = NOON + 3 * HOUR;
    const asked = { site: DENVER, now: NOON, deadlineAt, workMinutes: 90, travelMinutes: 0, air: FROSTY };
    expect(ours(asked)).toEqual({ startBy: NOON - 0.5 * HOUR, boundBy: 'deadline', late: true });
  });

  it('is any hour for a person to whom light does not matter', () => {
    const found = startBy({
      deadlineAt: NOON + 30 * HOUR,
      workMinutes: 45,
      travelMinutes: 15,
      marginMinutes: 120,
      now: NOON,
      daylight: null,
      thawed: [],
    });
    expect(found).toEqual({ startBy: NOON + 27 * HOUR, boundBy: 'deadline', late: false });
  });

  it('may be before dawn, since only the work needs light, and just fits', () => {
    const day = { start: NOON + 10 * HOUR, end: NOON + 11 * HOUR };
    const asked = { workMinutes: 60, travelMinutes: 60, marginMinutes: 120, now: NOON, thawed: [day] };
    const found = startBy({ ...asked, deadlineAt: NOON + 30 * HOUR, daylight: [day] });
    expect(found).toEqual({ startBy: NOON + 9 * HOUR, boundBy: 'daylight-and-thaw', late: false });
    const longer = startBy({ ...asked, workMinutes: 61, deadlineAt: NOON + 30 * HOUR, daylight: [day] });
    expect(longer.boundBy).toBe('deadline');
  });

  it('is not late at the very instant', () => {
    const asked = { workMinutes: 45, travelMinutes: 15, marginMinutes: 120, daylight: null, thawed: [] };
    const at = (now: number) => startBy({ ...asked, now, deadlineAt: NOON + 3 * HOUR }).late;
    expect([at(NOON), at(NOON + 1)]).toEqual([false, true]);
  });

  it('is never moved more than 36 hours earlier for light or warmth', () => {
    // Work of nine hours fits into the daylight of the first of December in Denver, of ten it does not.
    const asked = { site: DENVER, now: NOON, deadlineAt: NOON + 80 * HOUR, travelMinutes: 0, air: FROZEN };
    expect(ours({ ...asked, workMinutes: 540 }).boundBy).toBe('daylight');
    expect(ours({ ...asked, workMinutes: 600 }).boundBy).toBe('deadline');
    // Above freezing on the first afternoon only: too far back from a deadline three days ahead.
    const firstDay = FROZEN.map((t, i) => (i < 12 ? 5 : t));
    const three = { ...asked, air: firstDay, workMinutes: 45 };
    expect(ours(three).boundBy).toBe('daylight');
    expect(ours({ ...three, deadlineAt: NOON + 45 * HOUR }).boundBy).toBe('daylight-and-thaw');
    expectAlike(three);
  });
});
