/** One sensor at a time in weather that a test makes up: limits from the task, common practice where none is named. */
import { describe, expect, it } from 'vitest';
import { judgeSensor, type DoubtCode, type SensorQuestion } from '../../src/verify/sensor.ts';
import type { Measured } from '../../src/verify/truth.ts';
import { nightOf } from '../../src/weather/local-correction.ts';
import { seconds } from '../support/instants.ts';

const MINUTE = 60;
const HOUR = 3600;
const DAY = 24 * HOUR;
/** Midnight in Denver. */
const START = seconds('2026-12-01T07:00:00Z');
const DAYS = 4;
const DENVER = { latitude: 39.7, longitude: -105, lie: 'bench', coldSpotK: 0, elevationM: null } as const;
const NIGHT = nightOf(DENVER, START, DAYS * 24 + 1);

/** −8 at 03:00, 4 at 15:00. */
function air(at: number): number {
  return -2 - 6 * Math.cos((2 * Math.PI * (at - START - 3 * HOUR)) / DAY);
}

const FORECAST = {
  firstHour: START,
  temperatureC: Array.from({ length: DAYS * 24 + 1 }, (_, i) => air(START + i * HOUR)),
};

/** Every so many minutes, to the tenth, as a cheap sensor gives it. */
function course(stepMinutes: number, valueC: (at: number, i: number) => number = air): Measured[] {
  return Array.from({ length: (DAYS * 24 * 60) / stepMinutes }, (_, i) => {
    const at = START + i * stepMinutes * MINUTE;
    return { at, temperatureC: Math.round(10 * valueC(at, i)) / 10 };
  });
}

function judge(readings: readonly Measured[], over: Partial<SensorQuestion> = {}) {
  const now = START + DAYS * DAY;
  return judgeSensor({ readings, of: 'outside', forecast: FORECAST, night: NIGHT, now, unit: 'C', ...over });
}

/** Hours since the start of those that are doubted, by code. */
function hoursOf(
  code: DoubtCode,
  readings: readonly Measured[],
  over: Partial<SensorQuestion> = {},
): number[] {
  const { doubts } = judge(readings, over);
  return readings.filter((_, i) => doubts[i]?.code === code).map(({ at }) => (at - START) / HOUR);
}

const HOURS = Array.from({ length: DAYS * 24 }, (_, i) => i);
const between = (at: number, fromHour: number, toHour: number): boolean =>
  at >= START + fromHour * HOUR && at < START + toHour * HOUR;

describe('a sensor that is as it should be', () => {
  it.each([1, 10, 60])('is believed, every %d minutes', (step) => {
    expect(judge(course(step)).doubts.every((doubt) => doubt === null)).toBe(true);
    expect(judge(course(step, (at) => air(at) - 3)).summary).toEqual([]);
  });

  it('is believed where there is no forecast to hold it against', () => {
    const forecast = { firstHour: START, temperatureC: [] };
    expect(
      judge(
        course(60, () => 2),
        { forecast },
      ).summary,
    ).toEqual([]);
  });

  it('is nothing without readings', () => {
    expect(judge([])).toEqual({ doubts: [], summary: [] });
  });
});

describe('a sensor that is stuck', () => {
  const from = (hour: number, forHours: number) =>
    course(60, (at) => (between(at, hour, hour + forHours + 1) ? -3.2 : air(at)));

  it('is doubted from when its value no longer moved', () => {
    expect(hoursOf('stuck', from(30, 20))).toEqual(HOURS.slice(30, 51));
    const { summary } = judge(from(30, 20));
    expect(summary).toEqual([
      {
        code: 'stuck',
        since: START + 30 * HOUR,
        until: START + 50 * HOUR,
        readings: 21,
        message:
          'It read −3 °C for 20 h while the forecast moved by 12 °C: it looks stuck. Look at its battery and restart it.',
      },
    ]);
  });

  it('is told after 12 hours and not after 11', () => {
    expect(hoursOf('stuck', from(30, 12))).toHaveLength(13);
    expect(hoursOf('stuck', from(30, 11))).toEqual([]);
  });

  it('is not one whose air does not move either', () => {
    const forecast = { ...FORECAST, temperatureC: FORECAST.temperatureC.map((t) => t / 4) };
    expect(hoursOf('stuck', from(30, 20), { forecast })).toEqual([]);
    const more = { ...FORECAST, temperatureC: FORECAST.temperatureC.map((t) => t / 2.9) };
    expect(hoursOf('stuck', from(30, 20), { forecast: more })).toHaveLength(21);
  });

  it('is not a zone that a thermostat holds; one without heat moves less, and is, where outside moved by 8 K', () => {
    const held = course(60, () => 18);
    expect(judge(held, { of: 'held' }).summary).toEqual([]);
    expect(hoursOf('stuck', held, { of: 'zone' })).toHaveLength(96);
    const calm = { ...FORECAST, temperatureC: FORECAST.temperatureC.map((t) => t / 2) };
    expect(hoursOf('stuck', held, { of: 'zone', forecast: calm })).toEqual([]);
  });

  it('is not two like readings, one in the evening and one in the morning', () => {
    const two = [20, 33].map((hour) => ({ at: START + hour * HOUR, temperatureC: -2 }));
    expect(judge(two).summary).toEqual([]);
  });
});

describe('a sensor that jumps', () => {
  it('is doubted where it goes there and back, and its neighbours are believed', () => {
    const spiky = course(10, (at, i) =>
      i === 100 ? air(at) + 8.5 : i === 200 || i === 201 ? air(at) - 20 : air(at),
    );
    const { doubts } = judge(spiky);
    expect(doubts.flatMap((doubt, i) => (doubt === null ? [] : [[i, doubt.code]]))).toEqual([
      [100, 'jumping'],
      [200, 'jumping'],
      [201, 'jumping'],
    ]);
  });

  it('is not one that went from indoors to outdoors, nor one that steps by less than 8 K', () => {
    const moved = course(10, (at, i) => (i < 300 ? 12 : air(at)));
    expect(hoursOf('jumping', moved)).toEqual([]);
    expect(
      hoursOf(
        'jumping',
        course(10, (at, i) => (i === 100 ? air(at) + 7.4 : air(at))),
      ),
    ).toEqual([]);
  });

  it('is one that scatters by several kelvins for half a day', () => {
    const scattering = course(60, (at, i) =>
      between(at, 20, 40) ? air(at) + (i % 2 === 0 ? 3 : -3) : air(at),
    );
    const hours = hoursOf('jumping', scattering);
    expect(hours).toEqual(expect.arrayContaining(HOURS.slice(20, 40)));
    expect(hours.length).toBeLessThan(36);
  });
});

describe('a sensor in the sun', () => {
  /** From 10:00 to 14:00 of the second day. */
  const sunny = course(60, (at) => air(at) + (between(at, 34, 38) ? 9 : 0));

  it('is not believed on that day, and is by night and on other days', () => {
    // The sun is up in Denver from 07:04 to 16:36 on 2 December (from memory).
    expect(hoursOf('sun', sunny)).toEqual([32, 33, 34, 35, 36, 37, 38, 39, 40]);
    expect(judge(sunny).summary[0]!.message).toBe(
      'By day it read up to 9 °C above the forecast, by night it agreed: the sun reaches it. Move it into the shade; until then its days are left out.',
    );
  });

  it('is not one that is as far off by night', () => {
    expect(
      hoursOf(
        'sun',
        course(60, (at) => air(at) + 7),
      ),
    ).toEqual([]);
  });

  it('cannot be told without readings of the night, nor from a single one', () => {
    const days = sunny.filter(({ at }) => between(at, 32, 41));
    expect(judge(days).summary).toEqual([]);
    expect(
      hoursOf(
        'sun',
        course(60, (at) => air(at) + (between(at, 34, 35) ? 9 : 0)),
      ),
    ).toEqual([]);
  });

  const night = (at: number): number => NIGHT.darkness[(at - START) / HOUR]!;
  /** By day and by night above the forecast. */
  const offBy = (dayK: number, nightK: number) =>
    course(60, (at) => air(at) + (night(at) === 0 ? dayK : 0) + nightK * night(at));
  const sunUp = HOURS.filter((hour) => NIGHT.darkness[hour] === 0);

  it.each([
    ['by 5 K', 5, 0],
    ['in a hollow', 9, -5],
    ['by 2 K in a hollow', 2, -5],
  ])('is told from its own nights where it is warmed %s', (_, dayK, nightK) => {
    expect(hoursOf('sun', offBy(dayK, nightK))).toEqual(sunUp);
    expect(judge(offBy(dayK, nightK)).summary[0]!.message).toBe(
      `By day it read about ${dayK - nightK} °C more above the forecast than by night: the sun reaches it. Move it into the shade; until then its days are left out.`,
    );
  });

  it.each([
    ['a hollow whose nights alone are off', 0, -8],
    ['warmed by 3.9 K', 3.9, 0],
    ['warmer by night, too', 3.9, 3.9],
  ])('is not one of %s', (_, dayK, nightK) => {
    expect(judge(offBy(dayK, nightK)).summary).toEqual([]);
  });

  it('is not told from one day, nor from days under cloud', () => {
    const oneDay = course(60, (at) => air(at) + (between(at, 24, 48) && night(at) === 0 ? 5 : 0));
    expect(judge(oneDay).summary).toEqual([]);
    expect(judge(offBy(5, 0), { clear: HOURS.map(() => 0.1) }).summary).toEqual([]);
    expect(hoursOf('sun', offBy(5, 0), { clear: HOURS.map(() => 0.3) })).toEqual(sunUp);
  });

  it('is not a zone of a unit', () => {
    expect(judge(sunny, { of: 'zone' }).summary).toEqual([]);
  });
});

/** 4 K on the warm side and 10 K on the cold one over a day and a half: engineering estimates. */
describe('a sensor that hangs elsewhere', () => {
  it.each([
    ['10 K too warm', (at: number) => air(at) + 10],
    ['4.1 K too warm', (at: number) => air(at) + 4.1],
    ['indoors at about 17 °C', (at: number) => 17 + Math.sin(at)],
    ['10.1 K too cold', (at: number) => air(at) - 10.1],
  ])('is doubted throughout: %s', (_, valueC) => {
    expect(judge(course(60, valueC)).doubts.every((doubt) => doubt !== null)).toBe(true);
    expect(judge(course(60, valueC)).summary.map(({ code }) => code)).toContain('elsewhere');
  });

  it('is said with how far it is off', () => {
    expect(judge(course(60, (at) => air(at) + 10)).summary.map(({ message }) => message)).toEqual([
      'For more than a day and a night it read about 10 °C above the forecast: it does not hang in the place’s open air, or another thing is measured. Hang it outside in the shade, away from walls, or say its zone; until then it teaches nothing.',
    ]);
  });

  it.each([
    ['8 K colder, as in a deep hollow', (at: number) => air(at) - 8],
    ['3.9 K warmer', (at: number) => air(at) + 3.9],
    ['warmer by day alone', (at: number) => air(at) + (NIGHT.darkness[(at - START) / HOUR] === 0 ? 5 : 0)],
    ['warmer for 15 hours', (at: number) => air(at) + (between(at, 40, 55) ? 6 : 0)],
  ])('is not one that is %s', (_, valueC) => {
    expect(hoursOf('elsewhere', course(60, valueC))).toEqual([]);
  });

  it('is doubted from when it was hung there until it was taken out', () => {
    const days = course(60, (at) => air(at) + (between(at, 30, 60) ? 6 : 0));
    expect(hoursOf('elsewhere', days)).toEqual(HOURS.slice(30, 60));
  });

  it('is told from three readings over a day and a half, and not from two', () => {
    const some = [24, 38, 59].map((hour) => ({ at: START + hour * HOUR, temperatureC: 15 + hour / 10 }));
    expect(hoursOf('elsewhere', some)).toEqual([]);
    const more = [24, 38, 60].map((hour) => ({ at: START + hour * HOUR, temperatureC: 15 + hour / 10 }));
    expect(hoursOf('elsewhere', more)).toEqual([24, 38, 60]);
    expect(hoursOf('elsewhere', more.slice(0, 2))).toEqual([]);
  });

  it('is not a zone of a unit', () => {
    expect(
      judge(
        course(60, (at) => air(at) + 10),
        { of: 'zone' },
      ).summary,
    ).toEqual([]);
  });
});

describe('values and instants', () => {
  it.each([-127, -60.1, 60.1, 85, NaN, Infinity])('%d °C is absurd', (temperatureC) => {
    const broken = course(60).map((reading, i) => (i === 50 ? { ...reading, temperatureC } : reading));
    expect(hoursOf('absurd', broken)).toEqual([50]);
    expect(judge(broken).doubts.filter((doubt) => doubt !== null)).toHaveLength(1);
  });

  it('−60 and 60 °C are not', () => {
    const forecast = { firstHour: START, temperatureC: [] };
    const far = [-60, 60].map((temperatureC, day) => ({ at: START + day * DAY, temperatureC }));
    expect(judge(far, { forecast }).summary).toEqual([]);
  });

  it('°F taken as °C is said to be so, and not to be absurd, also where only some values are', () => {
    const fahrenheit = course(60, (at) => 1.8 * air(at) + 32);
    expect(hoursOf('unit', fahrenheit)).toEqual(HOURS);
    const later = course(60, (at) => (between(at, 48, 96) ? 1.8 * air(at) + 32 : air(at)));
    expect(hoursOf('unit', later)).toEqual(HOURS.slice(48));
    const hot = course(60, (at) => 1.8 * (air(at) + 20) + 32);
    const forecast = { ...FORECAST, temperatureC: FORECAST.temperatureC.map((t) => t + 20) };
    expect(hoursOf('unit', hot, { forecast })).toEqual(HOURS);
  });

  it('°C taken as °F is, too', () => {
    expect(
      hoursOf(
        'unit',
        course(60, (at) => (air(at) - 32) / 1.8),
      ),
    ).toEqual(HOURS);
  });

  it('five readings that fit in another unit are not enough, nor many within three hours', () => {
    expect(
      hoursOf(
        'unit',
        course(60, (at) => (between(at, 30, 35) ? 1.8 * air(at) + 32 : air(at))),
      ),
    ).toEqual([]);
    expect(
      hoursOf(
        'unit',
        course(10, (at) => (between(at, 30, 33) ? 1.8 * air(at) + 32 : air(at))),
      ),
    ).toEqual([]);
  });

  it('a cabin held at 18 °C is not taken for °F, one of 45 °C in the cold is', () => {
    expect(
      judge(
        course(60, () => 18),
        { of: 'held' },
      ).summary,
    ).toEqual([]);
    expect(
      hoursOf(
        'unit',
        course(60, () => 45),
        { of: 'held' },
      ),
    ).toEqual(HOURS);
  });

  it('a reading of more than ten minutes ahead has a clock that is off', () => {
    const now = START + 50 * HOUR;
    expect(hoursOf('clock', course(60), { now })).toEqual(HOURS.slice(51));
    expect(hoursOf('clock', course(60), { now: now - 600 })).toEqual(HOURS.slice(51));
    expect(hoursOf('clock', course(60), { now: now - 601 })).toEqual(HOURS.slice(50));
  });

  it('a reading of more than 30 days ago is too old', () => {
    const now = START + 32 * DAY;
    expect(hoursOf('old', course(60), { now })).toEqual(HOURS.slice(0, 48));
  });
});

it('readings may come in any order', () => {
  const spoilt = course(60, (at) => (between(at, 30, 55) ? -3.2 : air(at)));
  const turned = spoilt.toReversed();
  const { doubts } = judge(spoilt);
  expect(judge(turned).doubts).toEqual(doubts.toReversed());
  expect(judge(turned).summary).toEqual(judge(spoilt).summary);
});

it('doubts are said in the reader’s unit', () => {
  const stuck = course(60, () => -3.2);
  expect(judge(stuck, { unit: 'F' }).summary[0]!.message).toContain(
    'It read 26 °F for 95 h while the forecast moved by 22 °F',
  );
});
