import { describe, expect, it } from 'vitest';
import { budgetKelvinHours, iceFraction, takenAt, usedKelvinHours } from '../../src/model/part.ts';
import type { Part } from '../../src/model/unit.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../../src/model/water.ts';
import { integrate } from '../support/ode.ts';
import { hourly, runThrough, type MadeAir } from '../support/part-run.ts';

const PROBE: Part = {
  id: 'probe',
  label: 'probe',
  zone: 'outside',
  circuit: 'cold',
  waterKg: 0.1143,
  conductanceWPerK: 0.5,
  windShare: 0,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: 10,
  body: 'rigid',
  blocked: 0.2,
  solid: 0.95,
  iceLayerRatio: 0,
  pocket: 'always',
  provenance: 'config',
};

interface Point {
  readonly temperatureC: number;
  readonly taken: number;
}

/**
 * The same part by an ODE solver (odex, Hairer's extrapolation code): its state is the enthalpy, whose rate is
 * G·(T_air − T) whatever the phase; the solver finds the kinks by its own step control.
 */
function byOdex(part: Part, air: readonly MadeAir[], startC: number): Point[] {
  const mass = part.waterKg;
  const latent = mass * LATENT_HEAT_J_PER_KG;
  const temperature = (h: number): number => {
    if (h > 0) return h / (mass * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK);
    if (h >= -latent) return 0;
    return (h + latent) / (mass * ICE_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK);
  };
  let h = startC * (mass * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK);
  return air.map(({ a, b, durationS }) => {
    const rate = (t: number, [y = 0]: readonly number[]): number[] => [
      part.conductanceWPerK * (a + b * t - temperature(y)),
    ];
    h = integrate(rate, [h], { from: 0, to: durationS })[0] ?? Number.NaN;
    return { temperatureC: temperature(h), taken: Math.min(1, Math.max(0, -h / latent)) };
  });
}

describe('a part at constant −5 °C, from 10 °C', () => {
  const at = (line: string): number => {
    const { events } = runThrough(PROBE, hourly(Array.from({ length: 40 }, () => -5)), { temperatureC: 10 });
    return events.find((e) => e.line === line)?.at ?? Number.NaN;
  };

  // m·c/G·ln(15/5) = 960.12 s · ln 3, with c 4,200 J/(kg·K).
  it('reaches 0 °C after 1,054.8 s', () => expect(Math.abs(at('zero') - 1054.8)).toBeLessThan(1));

  // m·L·0.2/(G·5 K), with L 333.55 kJ/kg.
  it('holds 20 % ice 3,050.0 s later', () =>
    expect(Math.abs(at('blocked') - at('zero') - 3050)).toBeLessThan(1));

  it('has used exactly its budget when it is blocked', () => {
    expect(usedKelvinHours(PROBE, takenAt(PROBE, 0.2))).toBeCloseTo(budgetKelvinHours(PROBE, 0.2), 12);
    expect(budgetKelvinHours(PROBE, 0.2)).toBeCloseTo((0.1143 * 333_550 * 0.2) / (0.5 * 3600), 12);
  });
});

describe('against an ODE solver', () => {
  const cases: readonly (readonly [name: string, hours: readonly number[]])[] = [
    ['a step', [5, 5, -8, -8, -8, -8, -8, -8, -8, -8, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6]],
    ['a zigzag', Array.from({ length: 60 }, (_, i) => (i % 2 === 0 ? 3 : -6))],
    [
      'a slow night and a warm day',
      Array.from({ length: 72 }, (_, i) => -1 + 7 * Math.cos((2 * Math.PI * i) / 24)),
    ],
    [
      'deep cold and thaw',
      [2, -20, -20, -20, -20, -20, -20, -20, -20, -20, 15, 15, 15, 15, 15, 15, 15, 15, 15],
    ],
  ];
  for (const part of [PROBE, { ...PROBE, waterKg: 0.01, conductanceWPerK: 0.1, wallHeatCapacityJPerK: 40 }]) {
    for (const [name, values] of cases) {
      it(`${name}, ${part.waterKg} kg, agrees to 1e-6 K and 1e-6 ice`, () => {
        const air = hourly(values);
        const ours = runThrough(part, air, { temperatureC: 5 }).points;
        byOdex(part, air, 5).forEach((theirs, i) => {
          expect(Math.abs((ours[i]?.temperatureC ?? Number.NaN) - theirs.temperatureC)).toBeLessThan(1e-6);
          expect(Math.abs((ours[i]?.taken ?? Number.NaN) - theirs.taken)).toBeLessThan(1e-6);
        });
      });
    }
  }

  it('finds a dip inside the hour: ice that is gone again when the hour ends', () => {
    // Air from −1.5 to +8 °C within the hour: a small part at 0.05 °C dips below zero and recovers.
    const part = { ...PROBE, waterKg: 0.01, conductanceWPerK: 0.2 };
    const air = hourly([-1.5, 8]);
    const { points, events } = runThrough(part, air, { temperatureC: 0.05 });
    expect(events.map((e) => e.line)).toEqual(['zero']);
    expect(points[0]?.taken).toBe(0);
    const [theirs] = byOdex(part, air, 0.05);
    expect(Math.abs((points[0]?.temperatureC ?? Number.NaN) - (theirs?.temperatureC ?? 0))).toBeLessThan(
      1e-6,
    );
  });
});

describe('a tank with its own ice layer', () => {
  // S·3600 = ρL(x/h + x²/2k): check-values, steady growth; h 10, k 2.22, ρ 917, tank 1 m² deep 0.1 m.
  const depth = 0.1;
  const tank: Part = {
    ...PROBE,
    waterKg: 917 * depth,
    conductanceWPerK: 10,
    startTemperatureC: 0,
    iceLayerRatio: (depth * 10) / 2.22,
  };

  it('takes the degree-hours of the ice layer’s formula', () => {
    for (const x of [0.01, 0.03, 0.08]) {
      const kelvinHours = (917 * LATENT_HEAT_J_PER_KG * (x / 10 + x ** 2 / (2 * 2.22))) / 3600;
      const taken = (kelvinHours * 3600 * 10) / (tank.waterKg * LATENT_HEAT_J_PER_KG);
      expect(iceFraction(tank, taken)).toBeCloseTo(x / depth, 10);
    }
  });
});
