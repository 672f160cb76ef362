import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, furnaceByHour, runPart, zoneAtHours } from '../../src/model/trace.ts';
import type { Heat, Network, UnitModel, UnitSpec } from '../../src/model/unit.ts';
import { LATENT_HEAT_J_PER_KG, WATER_HEAT_CAPACITY_J_PER_KG_K } from '../../src/model/water.ts';
import { integrate } from '../support/ode.ts';

const HOUR = 3600;

function spec(over: Partial<UnitSpec>): UnitSpec {
  return {
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 7.3,
    slides: 0,
    belly: 'enclosed',
    skirting: 'none',
    hoseConnected: false,
    heat: null,
    network: {
      insideCapacity: 2e6,
      underbellyCapacity: 0.32e6,
      underneathCapacity: 0.17e6,
      insideOutside: 175,
      insideUnderbelly: 17,
      underbellyUnderneath: 43,
      underneathOutside: 35,
      underneathGround: 5,
    },
    parts: { catalogue: false, add: [], without: [], own: [] },
    ...over,
  };
}

function trace(unit: UnitModel, temperatures: readonly number[], plan: HeatPlan): Trace {
  const n = temperatures.length;
  const member = {
    weight: 1,
    temperatureC: Float64Array.from(temperatures),
    windSpeedMps: new Float64Array(n),
    groundC: Float64Array.from({ length: n }, (_, i) => 3 + i / 50),
  };
  return new Trace(unit).solve(hourlyAir(unit, 0, member), plan);
}

/** Furnace by the stated law: proportional over 1 K about the set temperature, the duct shut at 25 °C below. */
function furnaceFlows(
  heat: Heat,
  network: Network,
  inside: number,
  underbelly: number,
  loss: number,
): readonly [number, number] {
  const q = heat.capacityW * Math.min(1, Math.max(0, heat.setC + 0.5 - inside));
  if (!network.nodes.some((n) => n.id === 'underbelly')) return [q * (1 - heat.ductedShare), 0];
  const below = underbelly >= 25 ? Math.min(q * heat.ductedShare, Math.max(0, loss)) : q * heat.ductedShare;
  return [q - below, below];
}

/** Three nodes written out by hand, integrated by an independent solver, hour by hour. */
function byOdex(
  unit: UnitModel,
  temperatures: readonly number[],
  start: readonly number[],
  heated: boolean,
): number[][] {
  const [ci = 1, cu = 1, cn = 1] = unit.network.nodes.map((n) => n.capacityJPerK);
  const g = Object.fromEntries(unit.network.paths.map((p) => [p.name, p.calmWPerK]));
  const {
    insideOutside: gio = 0,
    insideUnderbelly: giu = 0,
    underbellyUnderneath: gun = 0,
    underneathOutside: gno = 0,
    underneathGround: gng = 0,
  } = g;
  let state = start;
  return temperatures.slice(1).map((to, h) => {
    const from = temperatures[h] ?? 0;
    const f = (t: number, [ti = 0, tu = 0, tn = 0]: readonly number[]): number[] => {
      const out = from + ((to - from) * t) / HOUR;
      const ground = 3 + (h + t / HOUR) / 50;
      const loss = giu * (tu - ti) + gun * (tu - tn);
      const [qi, qu] = heated && unit.heat ? furnaceFlows(unit.heat, unit.network, ti, tu, loss) : [0, 0];
      return [
        (gio * (out - ti) + giu * (tu - ti) + qi) / ci,
        (giu * (ti - tu) + gun * (tn - tu) + qu) / cu,
        (gun * (tu - tn) + gno * (out - tn) + gng * (ground - tn)) / cn,
      ];
    };
    state = integrate(f, state, { from: 0, to: HOUR });
    return [...state];
  });
}

const COLD_WEEK = Array.from({ length: 97 }, (_, i) => -6 + 14 * Math.cos((2 * Math.PI * i) / 24) - i / 20);
const ZIGZAG = Array.from({ length: 73 }, (_, i) => (i % 2 === 0 ? 12 : -22));

describe('zones of a unit against an ODE solver', () => {
  const heat = { setC: 18, furnaceW: 6000, ductedShare: 0.05, running: true };
  const cases: readonly (readonly [string, UnitSpec['heat'], readonly number[]])[] = [
    ['without heat, a cold week', null, COLD_WEEK],
    ['without heat, a zigzag', null, ZIGZAG],
    ['with a furnace that cycles through all its regions', heat, COLD_WEEK],
    ['with a furnace, a zigzag', heat, ZIGZAG],
    ['with a furnace too small for the cold', { ...heat, furnaceW: 2500 }, COLD_WEEK],
    [
      'with a small furnace that gives much below: complex modes',
      { ...heat, furnaceW: 600, ductedShare: 0.33 },
      COLD_WEEK,
    ],
  ];
  for (const [name, heatSpec, temperatures] of cases) {
    it(`${name}: agree to 1e-6 K`, () => {
      const unit = buildUnit(spec({ heat: heatSpec }));
      const run = trace(unit, temperatures, heatSpec === null ? NEVER_HEATED : ALWAYS_HEATED);
      const ours = (['inside', 'underbelly', 'underneath'] as const).map((zone) => zoneAtHours(run, zone));
      const start = ours.map((values) => values[0] ?? Number.NaN);
      byOdex(unit, temperatures, start, heatSpec !== null).forEach((theirs, hour) => {
        theirs.forEach((value, node) =>
          expect(Math.abs((ours[node]?.[hour + 1] ?? Number.NaN) - value)).toBeLessThan(1e-6),
        );
      });
    });
  }

  it('with a duct that would overheat the underbelly: it is held at 25 °C and nothing is lost', () => {
    const unit = buildUnit(spec({ heat: { setC: 20, furnaceW: 9000, ductedShare: 0.5, running: true } }));
    const run = trace(unit, COLD_WEEK, ALWAYS_HEATED);
    const below = zoneAtHours(run, 'underbelly');
    expect(Math.max(...below)).toBeCloseTo(25, 6);
    const start = (['inside', 'underbelly', 'underneath'] as const).map((z) => zoneAtHours(run, z)[0] ?? 0);
    // The reference slides along the cap in small steps; 0.02 K is what its own switching leaves.
    byOdex(unit, COLD_WEEK, start, true).forEach((theirs, hour) => {
      expect(Math.abs((zoneAtHours(run, 'inside')[hour + 1] ?? Number.NaN) - (theirs[0] ?? 0))).toBeLessThan(
        0.02,
      );
    });
  });

  it('balances the furnace’s heat with what is lost and stored', () => {
    const unit = buildUnit(spec({ heat }));
    const run = trace(unit, COLD_WEEK, ALWAYS_HEATED);
    const [inside, underbelly, underneath] = (['inside', 'underbelly', 'underneath'] as const).map((z) =>
      zoneAtHours(run, z),
    );
    const stored = (values: Float64Array | undefined, c: number): number =>
      c * ((values?.at(-1) ?? 0) - (values?.[0] ?? 0));
    const kept = stored(inside, 2e6) + stored(underbelly, 0.32e6) + stored(underneath, 0.17e6);
    const given = furnaceByHour(run).reduce((sum, w) => sum + w * HOUR, 0);
    // What crosses the edges, by the midpoint rule on a fine grid over the courses of each zone.
    const steps = 200;
    const mean = (zone: 'inside' | 'underneath' | 'outside'): number => {
      const air = run.zone(zone);
      let sum = 0;
      for (let i = 0; i < air.count; i++) {
        const durationS = air.durationS(i);
        for (let k = 0; k < steps; k++) {
          sum += (air.valueAt(i, ((k + 0.5) * durationS) / steps) * durationS) / steps;
        }
      }
      return sum;
    };
    const seconds = (COLD_WEEK.length - 1) * HOUR;
    const ground = seconds * (3 + seconds / HOUR / 2 / 50);
    const [ti, tn, out] = [mean('inside'), mean('underneath'), mean('outside')];
    const lost = 175 * (ti - out) + 35 * (tn - out) + 5 * (tn - ground);
    expect(Math.abs(given - lost - kept) / given).toBeLessThan(1e-6);
  });
});

describe('a part in a zone of the network', () => {
  it('follows the zone’s own course inside the hour, not a line between hours', () => {
    const own = {
      id: 'elbow',
      label: null,
      zone: 'underneath',
      circuit: 'cold',
      waterKg: 0.05,
      conductanceWPerK: 0.3,
      wallHeatCapacityJPerK: 0,
      startTemperatureC: 5,
      body: 'rigid',
      blocked: null,
      solid: null,
      pocket: 'never',
    } as const;
    const unit = buildUnit(
      spec({ heat: null, parts: { catalogue: false, add: [], without: [], own: [own] } }),
    );
    const run = trace(unit, ZIGZAG, NEVER_HEATED);
    const part = unit.parts[0];
    if (part === undefined) throw new Error('no part');
    const ours = runPart(run, { part, wetSince: null });
    const start = (['inside', 'underbelly', 'underneath'] as const).map((z) => zoneAtHours(run, z)[0] ?? 0);
    const [ci, cu, cn] = [2e6, 0.32e6, 0.17e6];
    let state: readonly number[] = [...start, 5 * 0.05 * WATER_HEAT_CAPACITY_J_PER_KG_K];
    const temperature = (h: number): number => {
      const latent = 0.05 * LATENT_HEAT_J_PER_KG;
      return h > 0
        ? h / (0.05 * WATER_HEAT_CAPACITY_J_PER_KG_K)
        : h >= -latent
          ? 0
          : (h + latent) / (0.05 * 2110);
    };
    ZIGZAG.slice(1).forEach((to, h) => {
      const from = ZIGZAG[h] ?? 0;
      const f = (t: number, [ti = 0, tu = 0, tn = 0, e = 0]: readonly number[]): number[] => {
        const out = from + ((to - from) * t) / HOUR;
        const ground = 3 + (h + t / HOUR) / 50;
        return [
          (175 * (out - ti) + 17 * (tu - ti)) / ci,
          (17 * (ti - tu) + 43 * (tn - tu)) / cu,
          (43 * (tu - tn) + 35 * (out - tn) + 5 * (ground - tn)) / cn,
          0.3 * (tn - temperature(e)),
        ];
      };
      state = integrate(f, state, { from: 0, to: HOUR });
      expect(Math.abs((ours.temperatureC[h + 1] ?? Number.NaN) - temperature(state[3] ?? 0))).toBeLessThan(
        2e-6,
      );
    });
  });
});
