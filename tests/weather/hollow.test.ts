/** The trade's stories of hollows, through the whole outlook (trade-defaults.md, "Place", stories 3 and 4: practice). */
import { describe, expect, it } from 'vitest';
import type { Forecast } from '../../src/weather/forecast.ts';
import type { Spot } from '../../src/weather/local-correction.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { BENCH, madeForecast, requestFor } from '../support/made-forecast.ts';

/** Lowest of +2 °C at 5 in the morning there, +9 by day; wind and cloud alike throughout. */
function night(windMps: number, cloud: number, spot: Partial<Spot>, over: Partial<Forecast> = {}) {
  const temperatureC = Array.from(
    { length: 73 },
    (_, h) => 5.5 - 3.5 * Math.cos((2 * Math.PI * (h - 5)) / 24),
  );
  const windSpeedMps = temperatureC.map(() => windMps);
  const cloudPercent = temperatureC.map(() => cloud);
  const forecast = madeForecast([{ temperatureC, windSpeedMps, cloudPercent }], over);
  const made = outlookOf(requestFor(forecast, { nightBiasK: 1, spot: { ...BENCH, ...spot } }));
  // The first night, to 9 in the morning.
  const low = (values: Float64Array): number => Math.min(...values.slice(0, 10));
  const chance = made.members.reduce((sum, m) => sum + (low(m.temperatureC) < 0 ? m.weight : 0), 0);
  return { lowC: low(made.members[made.middle]!.temperatureC), chance };
}

describe('+2 °C', () => {
  it('clear and calm on a creek bottom freezes: the hose comes off (story 3)', () => {
    const { lowC, chance } = night(0.5, 0, { lie: 'hollow' });
    // Creek bottom 2 to 6 K.
    expect(lowC).toBeLessThanOrEqual(0);
    expect(lowC).toBeGreaterThanOrEqual(-4);
    expect(chance).toBeGreaterThan(0.8);
  });

  it('windy and cloudy in town does not (story 4)', () => {
    const { lowC, chance } = night(7, 100, { lie: 'town' });
    expect(lowC).toBeCloseTo(2, 12);
    expect(chance).toBeLessThan(0.1);
  });

  it('clear and calm where the lie is not known is taken as 0: 2 K off, not 2 and another for the night', () => {
    expect(night(0.5, 0, { lie: 'unknown' }).lowC).toBeCloseTo(0, 12);
  });

  it('clear and calm on a bench is taken as 1: nights come out too warm', () => {
    expect(night(0.5, 0, { lie: 'bench' }).lowC).toBeCloseTo(1, 12);
  });
});

describe('a basin 500 m below its cell', () => {
  it('is not made warmer by its height, whether hollow, valley or unknown', () => {
    for (const lie of ['hollow', 'valley', 'unknown'] as const) {
      const low = night(0.5, 0, { lie, elevationM: 1500 }, { gridElevationM: 2000 });
      expect(low).toEqual(night(0.5, 0, { lie }));
    }
  });
});
