/** Bodies as fast as what they follow, as round numbers of a config can make them: the solution has a term t·e^(−t/τ). */
import { describe, expect, it } from 'vitest';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { runPart, zoneAtHours } from '../../src/model/trace.ts';
import type { OwnPart, UnitModel } from '../../src/model/unit.ts';
import { runThrough } from '../support/part-run.ts';
import { solved, steadyUnit } from '../support/steady-unit.ts';
import { compareUnit } from '../support/unit-comparison.ts';

/** Of a hatch compartment, whatever the unit: an hour and a half. */
const TAU_S = 5400;

/** 4200 J/K at so many W/K. */
function litre(zone: OwnPart['zone'], tauS = TAU_S): OwnPart {
  return {
    id: `litre in ${zone}`,
    label: null,
    zone,
    circuit: 'cold',
    waterKg: 1,
    conductanceWPerK: 4200 / tauS,
    wallHeatCapacityJPerK: 0,
    startTemperatureC: null,
    body: 'rigid',
    blocked: null,
    solid: null,
    pocket: 'never',
  };
}

/** Inside stores 1.08 MJ/K and loses 200 W/K: as fast as the compartment. */
function unit(heat: Parameters<typeof steadyUnit>[0] = null): UnitModel {
  const network = {
    insideCapacity: 200 * TAU_S,
    insideOutside: 200,
    insideUnderbelly: null,
    underbellyCapacity: null,
    underneathCapacity: null,
    underbellyUnderneath: null,
    underneathOutside: null,
    underneathGround: null,
  };
  const own = [litre('inside'), litre('bay'), litre('slide', 1500)];
  return steadyUnit(heat, { kind: 'van', network, parts: { catalogue: false, add: [], without: [], own } });
}

describe('a zone and a part as fast as inside', () => {
  // Down by 30 K in an hour, up by 20 in another.
  const weather = {
    temperatureC: Float64Array.from([20, -10, -10, -10, -10, 10, 10, 10, -20, -20, -20, -20, -20]),
    groundC: new Float64Array(13).fill(3),
    windMps: new Float64Array(13),
  };

  function expectSolved(of: UnitModel, plan: HeatPlan): void {
    compareUnit({ unit: of, weather, plan, parts: of.parts });
  }

  it('are where an independent solver finds them', () => {
    expectSolved(unit(), NEVER_HEATED);
  });

  it('are, under a furnace too, where an independent solver finds them', () => {
    expectSolved(unit({ setC: 12, furnaceW: 3000, ductedShare: 0, running: true }), ALWAYS_HEATED);
  });

  it('differ in nothing to speak of from ones that are a little faster', () => {
    const one = solved(unit(), [...weather.temperatureC], NEVER_HEATED);
    const faster = unit();
    const nodes = faster.network.nodes.map((n) => ({ ...n, capacityJPerK: n.capacityJPerK * (1 - 1e-6) }));
    const other = solved(
      { ...faster, network: { ...faster.network, nodes } },
      [...weather.temperatureC],
      NEVER_HEATED,
    );
    for (const zone of ['inside', 'bay', 'cabinet'] as const) {
      const theirs = zoneAtHours(other, zone);
      zoneAtHours(one, zone).forEach((t, h) => expect(Math.abs(t - theirs[h]!), zone).toBeLessThan(3e-5));
    }
    const runs = [one, other].map((trace) => runPart(trace, { part: trace.unit.parts[1]!, wetSince: null }));
    runs[0]!.temperatureC.forEach((t, hour) =>
      expect(Math.abs(t - runs[1]!.temperatureC[hour]!), `hour ${hour}`).toBeLessThan(3e-5),
    );
  });
});

describe('a litre in air that settles as fast as it does itself', () => {
  // From 10 °C after air of 10·e^(−t/τ): (10 + 10·t/τ)·e^(−t/τ).
  const of = litre('inside', 10_000);
  const part = { ...of, label: 'litre', windShare: 0, iceLayerRatio: 0, blocked: 0.2, solid: 0.95 };
  it.each([3600, 1800])('in pieces of %d s', (durationS) => {
    const air = Array.from({ length: 7200 / durationS }, (_, i) => ({
      a: 0,
      b: 0,
      durationS,
      modes: [{ alpha: -1e-4, beta: 0, p: 10 * Math.exp(-1e-4 * i * durationS), q: 0 }],
    }));
    const { end } = runThrough({ ...part, provenance: 'config' }, air, { temperatureC: 10 });
    expect(Math.abs(end.temperatureC - 17.2 * Math.exp(-0.72))).toBeLessThan(1e-6);
  });
});
