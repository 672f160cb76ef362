/** Air that crosses 0 °C twice within an hour: the piece between both crossings is at 0 °C at either end. */
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/unit.ts';
import { integrate } from '../support/ode.ts';
import { runThrough, type MadeAir } from '../support/part-run.ts';

const PART: Part = {
  id: 'city-inlet',
  label: 'city inlet',
  zone: 'bay',
  circuit: 'inlet',
  waterKg: 0.015,
  conductanceWPerK: 0.14,
  windShare: 0,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: null,
  body: 'rigid',
  blocked: 0.2,
  solid: 0.95,
  iceLayerRatio: 0,
  pocket: 'never',
  provenance: 'practice',
};
const LIQUID = 0.015 * 4200;
const LATENT = 0.015 * 333_550;

/** What a zone with a memory of 25 minutes makes of a kink: 0.1 K at first, 0.2 K in the end, about −0.07 K between. */
function dip(depth: number, sign: 1 | -1): MadeAir {
  const mode = { alpha: -1 / 1500, beta: 0, p: sign * depth, q: 0 };
  const rise = 0.1 + depth * (1 - Math.exp(-3600 / 1500));
  return { a: sign * (0.1 - depth), b: (sign * rise) / 3600, durationS: 3600, modes: [mode] };
}

/** Its enthalpy by odex [J]; the piece of air is short enough that the solver's own steps find the kinks. */
function enthalpyAfter({ a, b, modes = [] }: MadeAir, startJ: number): number {
  const rate = (t: number, [h = 0]: readonly number[]): number[] => {
    const airC = modes.reduce((sum, { alpha, p }) => sum + p * Math.exp(alpha * t), a + b * t);
    return [PART.conductanceWPerK * (airC - (h > 0 ? h / LIQUID : 0))];
  };
  return integrate(rate, [startJ], { from: 0, to: 3600 })[0] ?? Number.NaN;
}

describe('air that is back within the hour', () => {
  const depths = Array.from({ length: 40 }, (_, i) => 0.75 + i / 300);

  it('freezes a little of what is near 0 °C when it dips below', () => {
    for (const depth of depths) {
      const air = dip(depth, 1);
      const { end, events } = runThrough(PART, [air], { temperatureC: 0.001 });
      expect(events.map((e) => e.line)).toEqual(['zero']);
      const theirs = enthalpyAfter(air, 0.001 * LIQUID);
      expect(Math.abs(end.temperatureC - Math.max(0, theirs) / LIQUID), `depth ${depth}`).toBeLessThan(1e-6);
      expect(Math.abs(end.taken - Math.max(0, -theirs) / LATENT), `depth ${depth}`).toBeLessThan(1e-6);
    }
  });

  it('thaws a little of the ice when it rises above', () => {
    for (const depth of depths) {
      const air = dip(depth, -1);
      const { end, points } = runThrough(PART, [air], { temperatureC: 0, taken: 0.0005 });
      const theirs = enthalpyAfter(air, -0.0005 * LATENT);
      expect(Math.min(...points.map((p) => p.taken))).toBeGreaterThanOrEqual(0);
      expect(Math.abs(end.taken - Math.max(0, -theirs) / LATENT), `depth ${depth}`).toBeLessThan(1e-6);
    }
  });
});
