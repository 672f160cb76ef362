import { describe, expect, it } from 'vitest';
import { groundUnder } from '../../src/weather/ground.ts';

const HOURS = 480;
const NONE = new Float64Array(HOURS).fill(Number.NaN);

function series(value: (hour: number) => number): Float64Array {
  return Float64Array.from({ length: HOURS }, (_, i) => value(i));
}

describe('the ground under skirting', () => {
  it('without a soil temperature is 0 °C in a mild spell, never warmer', () => {
    const ground = groundUnder({ temperatureC: series(() => 9), soilTemperatureC: NONE });
    expect([...ground].every((t) => t === 0)).toBe(true);
  });

  it('follows a long cold spell with a lag of days', () => {
    const ground = groundUnder({ temperatureC: series((h) => (h < 72 ? 0 : -12)), soilTemperatureC: NONE });
    expect(ground[72]).toBeGreaterThan(-0.2);
    // A first-order lag of 120 h: 1 − e^(−1) of the step after 120 h, but for the ramp of the first hour.
    expect(Math.abs((ground[72 + 120] ?? Number.NaN) - -12 * (1 - Math.exp(-1)))).toBeLessThan(0.03);
  });

  // A first-order lag passes 1/√(1 + (ωτ)²) of a swing: of a daily one with 48 h, 0.0794.
  it('lets next to nothing of the daily swing of the soil through', () => {
    const soil = series((h) => 4 + 6 * Math.cos((2 * Math.PI * h) / 24));
    const ground = groundUnder({ temperatureC: series(() => 0), soilTemperatureC: soil });
    const late = ground.subarray(HOURS - 48);
    const swing = (Math.max(...late) - Math.min(...late)) / 2;
    const passed = 1 / Math.hypot(1, (2 * Math.PI * 48) / 24);
    expect(Math.abs(swing / 6 - passed)).toBeLessThan(0.004);
  });

  it('takes the cautious value where the soil has a hole', () => {
    const soil = series((h) => (h > 100 ? Number.NaN : 5));
    const ground = groundUnder({ temperatureC: series(() => 8), soilTemperatureC: soil });
    expect(ground[90]).toBeCloseTo(5, 9);
    expect(ground[HOURS - 1]).toBeLessThan(0.01);
    expect(ground.some(Number.isNaN)).toBe(false);
  });
});
