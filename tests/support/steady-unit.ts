/** A unit whose sums can be done by hand: one node, inside, between air that a test makes up and its heat. */
import { buildUnit } from '../../src/model/catalogue.ts';
import type { HeatPlan } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace } from '../../src/model/trace.ts';
import type { HeatSpec, UnitModel, UnitSpec } from '../../src/model/unit.ts';

/** Between inside and outside [W/K], and what inside stores [J/K]. */
export const LOSS_W_PER_K = 200;
export const STORED_J_PER_K = 2e6;

export function steadyUnit(heat: HeatSpec | null, over: Partial<UnitSpec> = {}): UnitModel {
  return buildUnit({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 8,
    slides: 0,
    belly: 'open',
    skirting: 'none',
    hoseConnected: false,
    heat,
    network: {
      insideCapacity: STORED_J_PER_K,
      insideOutside: LOSS_W_PER_K,
      insideUnderbelly: 0,
      underbellyCapacity: null,
      underneathCapacity: null,
      underbellyUnderneath: null,
      underneathOutside: null,
      underneathGround: null,
    },
    parts: { catalogue: false, add: [], without: [], own: [] },
    ...over,
  });
}

/** In calm air over ground at 3 °C; from instant 0. */
export function solved(unit: UnitModel, temperatureC: readonly number[], plan: HeatPlan): Trace {
  const member = {
    weight: 1,
    temperatureC: Float64Array.from(temperatureC),
    windSpeedMps: new Float64Array(temperatureC.length),
    groundC: new Float64Array(temperatureC.length).fill(3),
  };
  return new Trace(unit).solve(hourlyAir(unit, 0, member), plan);
}

export function constant(valueC: number, hours: number): number[] {
  return Array.from({ length: hours + 1 }, () => valueC);
}
