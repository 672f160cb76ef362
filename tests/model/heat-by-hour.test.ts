/** Heat that is shown to people: the first law for every node and hour, and cases worked by hand. */
import { describe, expect, it } from 'vitest';
import { flowsInto } from '../../src/app/flows-answer.ts';
import { heatByHour } from '../../src/model/heat-by-hour.ts';
import { ALWAYS_HEATED } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, zoneAtHours } from '../../src/model/trace.ts';
import { Random } from '../support/random.ts';
import { randomPlan, randomUnit, randomWeather } from '../support/random-unit.ts';
import { constant, solved, steadyUnit } from '../support/steady-unit.ts';

const HOUR = 3600;
const HOURS = 96;
const HEAT = { setC: 18, ductedShare: 0, running: true, shore: true } as const;

describe('what flows into a node over an hour', () => {
  it('is what its stored heat grows by, whatever heats it and whether or not the duct stands at its cap', () => {
    const seen = { electric: 0, capped: 0, openDuct: 0 };
    for (let seed = 1; seed <= 60; seed++) {
      const random = new Random(seed);
      const unit = randomUnit(random);
      const { temperatureC, groundC, windMps } = randomWeather(random, HOURS);
      const member = { weight: 1, temperatureC, groundC, windSpeedMps: windMps };
      const trace = new Trace(unit).solve(hourlyAir(unit, 0, member), randomPlan(random, HOURS));
      const heat = heatByHour(trace);
      for (const { id, capacityJPerK } of unit.network.nodes) {
        const storedC = zoneAtHours(trace, id);
        const flows = flowsInto(id, unit, heat);
        for (let hour = 0; hour < HOURS; hour++) {
          const grownW = (capacityJPerK * (storedC[hour + 1]! - storedC[hour]!)) / HOUR;
          const sumW = flows.reduce((sum, { byHour }) => sum + byHour[hour]!, 0);
          expect(Math.abs(sumW - grownW), `seed ${seed}, ${id}, hour ${hour}`).toBeLessThan(0.01);
        }
      }
      if (heat.electricW.some((w) => w > 0)) seen.electric++;
      const held = unit.network.nodes.some(({ id }) => id === 'underbelly');
      if (trace.track.systems.slice(0, trace.track.count).some((s) => s.capped)) seen.capped++;
      if (!held && heat.ductW.some((w) => w > 0)) seen.openDuct++;
    }
    expect(seen.electric).toBeGreaterThan(5);
    expect(seen.capped).toBeGreaterThan(0);
    expect(seen.openDuct).toBeGreaterThan(5);
  });
});

describe('by hand, 200 W/K to outside', () => {
  it('electric heat within its band: 200 · (T − 10) = 3000 · (19.5 − T) is 1781.25 W', () => {
    const unit = steadyUnit({ ...HEAT, furnaceW: 0, electricW: 3000 });
    const { electricW, furnaceW } = heatByHour(solved(unit, constant(10, 48), ALWAYS_HEATED));
    expect(electricW[40]).toBeCloseTo(1781.25, 6);
    expect(Math.max(...furnaceW)).toBe(0);
  });

  it('electric heat that is full on, and a furnace that tops it up: 200 · (T + 10) = 3000 + 6000 · (18.5 − T)', () => {
    const unit = steadyUnit({ ...HEAT, furnaceW: 6000, electricW: 3000 });
    const { electricW, furnaceW } = heatByHour(solved(unit, constant(-10, 48), ALWAYS_HEATED));
    const insideC = (3000 + 6000 * 18.5 - 2000) / 6200;
    expect(electricW[40]).toBeCloseTo(3000, 6);
    expect(furnaceW[40]).toBeCloseTo(200 * (insideC + 10) - 3000, 5);
  });

  it('a duct under an open belly: what goes down it is lost, and inside gets the rest', () => {
    // Full on at 4000 W of which a quarter goes down: 3000 W hold 15 K.
    const unit = steadyUnit({ ...HEAT, furnaceW: 4000, ductedShare: 0.25 });
    const trace = solved(unit, constant(-10, 200), ALWAYS_HEATED);
    const heat = heatByHour(trace);
    expect(zoneAtHours(trace, 'inside')[190]).toBeCloseTo(5, 6);
    expect([heat.furnaceW[190], heat.ductW[190]]).toEqual([4000, 1000]);
    const furnace = flowsInto('inside', unit, heat).find((f) => f.path === 'furnace');
    expect(furnace?.byHour[190]).toBe(3000);
  });
});
