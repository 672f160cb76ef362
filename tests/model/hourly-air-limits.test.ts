/** The weather that reaches a unit, and weather that cannot be. */
import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import { windClass } from '../../src/model/film.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';

const HOUR = 3600;

interface Weather {
  readonly air?: readonly number[];
  readonly ground?: readonly number[];
  readonly wind?: readonly number[];
}

/** Three hours from instant 0. */
function reached({ air = [1, 2, 3, 4], ground = [3, 3, 3, 3], wind = [0, 4, 6, 2] }: Weather, unit = {}) {
  const [temperatureC, groundC, windSpeedMps] = [air, ground, wind].map((v) => Float64Array.from(v));
  return hourlyAir(unit, 0, {
    weight: 1,
    temperatureC: temperatureC!,
    groundC: groundC!,
    windSpeedMps: windSpeedMps!,
  });
}

/** Classes of wind speeds, by hour. */
function classes(...speeds: number[]): number[] {
  return speeds.map(windClass);
}

describe('an hour’s wind', () => {
  it('is the mean of its ends, and there is one instant more than hours', () => {
    const { windClass: found, hours, temperatureC } = reached({});
    expect([hours, temperatureC.length]).toEqual([3, 4]);
    expect([...found]).toEqual(classes(2, 5, 4));
  });

  it('is less by what the shelter keeps off', () => {
    expect([...reached({}, { windReaching: 0.5 }).windClass]).toEqual(classes(1, 2.5, 2));
    expect([...reached({}, { windReaching: 0 }).windClass]).toEqual(classes(0, 0, 0));
  });

  it('is the speed in every hour that the unit is on the road in, unless it blows harder', () => {
    const road = (from: number, until: number, speedMps = 25) => [
      ...reached({}, { tows: [{ from, until, speedMps }] }).windClass,
    ];
    expect(road(0, HOUR)).toEqual(classes(25, 5, 4));
    expect(road(HOUR, 2 * HOUR)).toEqual(classes(2, 25, 4));
    expect(road(HOUR - 1, HOUR + 1)).toEqual(classes(25, 25, 4));
    expect(road(0, 3 * HOUR, 3)).toEqual(classes(3, 5, 4));
    expect(road(-HOUR, 0)).toEqual(classes(2, 5, 4));
    expect(road(3 * HOUR, 4 * HOUR)).toEqual(classes(2, 5, 4));
  });
});

describe('weather that cannot be', () => {
  it.each([
    ['air colder than any', { air: [1, -110.1, 1, 1] }],
    ['air hotter than any', { air: [1, 1, 80.1, 1] }],
    ['a hole in the air', { air: [1, 1, 1, Number.NaN] }],
    ['ground colder than any', { ground: [-111, 3, 3, 3] }],
    ['a hole in the ground', { ground: [3, Number.NaN, 3, 3] }],
    ['wind of less than nothing', { wind: [0, -0.1, 0, 0] }],
    ['a hole in the wind', { wind: [0, 0, Number.NaN, 0] }],
  ])('as %s is refused, since a hole would pass for a part that never freezes', (_what, weather) => {
    expect(() => reached(weather)).toThrow(ModelError);
  });

  it('names the hour that it is found in', () => {
    expect(() => reached({ air: [1, 1, 81, 1] })).toThrow(/in hour 2/);
  });

  it('is none at the very ends', () => {
    expect(() =>
      reached({ air: [-110, 80, 0, 0], ground: [80, -110, 0, 0], wind: [0, 0, 0, 0] }),
    ).not.toThrow();
  });
});
