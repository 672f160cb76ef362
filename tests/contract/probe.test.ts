/**
 * One part of known mass and conductance through `check` and `explain`, against its closed form and an ODE solver.
 *
 * 0.1143 kg, 0.5 W/K, c 4,200 J/(kg·K) (ASHRAE Handbook, Fundamentals 2021, chapter 23), L 333.55 kJ/kg (CRC
 * Handbook): from 10 °C at constant −5 °C it reaches 0 °C after m·c/G·ln 3 = 1,054.8 s and holds 20 % ice
 * m·L·0.2/(G·5 K) = 3,050.0 s later (derived).
 */
import { describe, expect, it } from 'vitest';
import { integrate } from '../support/ode.ts';
import { seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, explainAt, probeUnit, scenario } from '../support/scenario.ts';
import type { ExplainAnswer } from '../../src/app/explain-answer.ts';

const START = '2026-12-01T00:00:00Z';
const HOURS = 36;

function at(temperatureC: readonly number[], over: object = {}, part: object = {}) {
  return scenario(configOf({ units: [probeUnit(over, part)] }), {
    'series.csv': csvOf({ start: START, temperatureC }),
  });
}

describe('the probe at constant −5 °C, from 10 °C', () => {
  const constant = Array.from({ length: HOURS }, () => -5);

  it('reaches 0 °C after 1,054.8 s and is blocked 3,050.0 s later, each within 1 s', async () => {
    const [unit] = (await checkAt(at(constant), START)).units;
    const part = unit?.parts?.[0];
    const zero = seconds(part?.reachesZeroAt ?? '') - seconds(START);
    const blocked = seconds(part?.blockedAt ?? '') - seconds(START);
    expect(Math.abs(zero - 1054.8)).toBeLessThan(1);
    expect(Math.abs(blocked - 1054.8 - 3050)).toBeLessThan(1);
    expect(part?.budgetKelvinHours.blocked).toBeCloseTo((5 * 3050) / 3600, 2);
    expect(unit?.firstDamage?.earliest).toBe(part?.blockedAt);
    expect(unit?.advice?.action).not.toBe('nothing');
    expect(unit?.firstPart).toBe('probe');
  });

  it('does so at any wind and from any minute of the hour', async () => {
    const windy = csvOf({ start: START, temperatureC: constant, windSpeedMps: constant.map(() => 9) });
    const config = scenario(configOf({ units: [probeUnit()] }), { 'series.csv': windy });
    const [unit] = (await checkAt(config, '2026-12-01T00:10:00Z')).units;
    expect(Math.abs(seconds(unit?.parts?.[0]?.reachesZeroAt ?? '') - seconds(START) - 1054.8)).toBeLessThan(
      1,
    );
  });

  it('is solid when 95 % of m·L has gone, and its ice then has taken its budget', async () => {
    const [unit] = (await checkAt(at(constant), START)).units;
    const part = unit?.parts?.[0];
    const solid = seconds(part?.solidAt ?? '') - seconds(START);
    // m·L·0.95/(G·5 K) = 14,487.2 s.
    expect(Math.abs(solid - 1054.8 - 14_487.2)).toBeLessThan(1);
    expect(part?.peakIceFraction).toBe(1);
    expect(part?.usedKelvinHours).toBeCloseTo((0.1143 * 333_550) / (0.5 * 3600), 4);
  });
});

interface Point {
  readonly temperatureC: number;
  readonly iceFraction: number;
}

/** The part's enthalpy, integrated hour by hour from the answer's own numbers. */
function byOdex(answer: ExplainAnswer): Point[] {
  const part = answer.parts[0]!;
  const { latentHeatJPerKg, waterHeatCapacityJPerKgK, iceHeatCapacityJPerKgK } = answer.constants;
  const latent = part.waterKg * latentHeatJPerKg;
  const liquid = part.waterKg * waterHeatCapacityJPerKgK + part.wallHeatCapacityJPerK;
  const solid = part.waterKg * iceHeatCapacityJPerKgK + part.wallHeatCapacityJPerK;
  const temperature = (h: number): number => (h > 0 ? h / liquid : h >= -latent ? 0 : (h + latent) / solid);
  const air = answer.hours.zonesC['outside'] ?? [];
  let h = (part.startTemperatureC ?? Number.NaN) * liquid;
  const points: Point[] = [{ temperatureC: temperature(h), iceFraction: 0 }];
  air.slice(1).forEach((to, hour) => {
    const from = air[hour] ?? Number.NaN;
    const conductance = part.conductanceWPerK;
    const g = typeof conductance === 'number' ? conductance : conductance[hour]!;
    const rate = (t: number, [y = 0]: readonly number[]): number[] => [
      g * (from + ((to - from) * t) / 3600 - temperature(y)),
    ];
    h = integrate(rate, [h], { from: 0, to: 3600 })[0] ?? Number.NaN;
    points.push({ temperatureC: temperature(h), iceFraction: Math.min(1, Math.max(0, -h / latent)) });
  });
  return points;
}

describe('explain against an ODE solver', () => {
  const cases: readonly (readonly [string, readonly number[], object])[] = [
    ['a step', Array.from({ length: HOURS }, (_, i) => (i < 3 ? 6 : i < 20 ? -9 : 5)), {}],
    ['a zigzag', Array.from({ length: HOURS }, (_, i) => (i % 2 === 0 ? 4 : -7)), {}],
    [
      'a small part that dips below zero and thaws again inside the hour',
      Array.from({ length: HOURS }, (_, i) => [2, -1.5, 8, 3][i % 4]!),
      { water: '0.01 kg', conductance: '0.2 W/K', startTemperature: '1 °C', wallHeatCapacity: '25 J/K' },
    ],
    [
      'deep cold that takes the ice far below zero, and the thaw',
      Array.from({ length: HOURS }, (_, i) => (i < 18 ? -25 : 14)),
      { startTemperature: '40 °C' },
    ],
  ];
  for (const [name, air, part] of cases) {
    it(`${name}: agrees to 1e-6 K and 1e-6 ice`, async () => {
      const answer = await explainAt(at(air, {}, part), 'blue', START);
      const ours = answer.parts[0]!;
      const theirs = byOdex(answer);
      expect(theirs).toHaveLength(HOURS);
      theirs.forEach((point, i) => {
        expect(Math.abs(ours.temperatureC[i]! - point.temperatureC)).toBeLessThan(1e-6);
        expect(Math.abs(ours.iceFraction[i]! - point.iceFraction)).toBeLessThan(1e-6);
      });
    });
  }

  it('sees the ice of a dip inside the hour that is gone by its end', async () => {
    const air = [-1.5, ...Array.from({ length: HOURS }, () => 8)];
    const part = { water: '0.01 kg', conductance: '0.2 W/K', startTemperature: '0.05 °C' };
    const answer = await explainAt(at(air, {}, part), 'blue', START);
    expect(answer.parts[0]?.iceFraction.every((f) => f === 0)).toBe(true);
    const [unit] = (await checkAt(at(air, {}, part), START)).units;
    expect(seconds(unit?.parts?.[0]?.reachesZeroAt ?? '') - seconds(START)).toBeLessThan(600);
  });

  it('starts a part without a stated temperature in balance with its zone, never below 0 °C', async () => {
    const cold = await explainAt(
      at(
        Array.from({ length: HOURS }, () => -5),
        {},
        { startTemperature: undefined },
      ),
      'blue',
      START,
    );
    expect(cold.parts[0]?.startTemperatureC).toBe(0);
    const mild = await explainAt(
      at(
        Array.from({ length: HOURS }, () => 7),
        {},
        { startTemperature: undefined },
      ),
      'blue',
      START,
    );
    expect(mild.parts[0]?.startTemperatureC).toBe(7);
  });
});
