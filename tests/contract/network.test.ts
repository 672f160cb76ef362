/**
 * `explain` holds all that it takes to compute a unit again: its zones, furnace and parts are integrated here from
 * the answer's numbers alone, by an independent solver (odex, Hairer's extrapolation code).
 */
import { describe, expect, it } from 'vitest';
import type { ExplainAnswer } from '../../src/app/explain-answer.ts';
import { integrate } from '../support/ode.ts';
import { configOf, csvOf, explainAt, probeUnit, scenario } from '../support/scenario.ts';

const START = '2026-12-01T00:00:00Z';
const HOURS = 48;

/** Nights of −13 °C and days of +7 °C with a kink every hour. */
const AIR = Array.from(
  { length: HOURS + 1 },
  (_, i) => -3 + 10 * Math.cos((2 * Math.PI * (i - 1)) / 24) + (i % 2 === 0 ? 0.7 : -0.7),
);
const WIND = AIR.map((_, i) => (i % 7) / 2);

const NETWORK = {
  insideCapacity: '2.0 MJ/K',
  underbellyCapacity: '0.32 MJ/K',
  underneathCapacity: '0.17 MJ/K',
  insideOutside: '175 W/K',
  insideUnderbelly: '17 W/K',
  underbellyUnderneath: '43 W/K',
  underneathOutside: '35 W/K',
  underneathGround: '0 W/K',
};

const PARTS = ['outside', 'underneath', 'underbelly', 'bay', 'cabinet', 'inside'].map((zone, i) => ({
  id: `in-${zone}`,
  zone,
  circuit: 'cold',
  water: `${0.02 + 0.03 * i} kg`,
  conductance: '0.3 W/K',
  wallHeatCapacity: `${10 * i} J/K`,
  body: 'rigid',
}));

async function explained(over: object): Promise<ExplainAnswer> {
  const unit = probeUnit({
    length: '24 ft',
    belly: 'enclosed',
    network: NETWORK,
    parts: { catalogue: false, own: PARTS },
    ...over,
  });
  const config = scenario(configOf({ units: [unit] }), {
    'series.csv': csvOf({ start: START, temperatureC: AIR, windSpeedMps: WIND }),
  });
  return explainAt(config, 'blue', START);
}

/** Zones without a node follow a blend of inside and outside with a lag; stated, engineering estimates. */
const BLENDS: Readonly<Record<string, { readonly insideShare: number; readonly lagS: number }>> = {
  bay: { insideShare: 0.15, lagS: 5400 },
  cabinet: { insideShare: 0.7, lagS: 1800 },
};

/** What the answer says, laid out for integration: nodes, blended zones, the parts' enthalpies, the furnace's heat. */
class Reference {
  readonly #answer: ExplainAnswer;
  readonly #nodes: readonly string[];
  readonly #zones: readonly string[];

  constructor(answer: ExplainAnswer) {
    this.#answer = answer;
    this.#nodes = Object.keys(answer.network.capacitiesJPerK);
    this.#zones = [...this.#nodes, ...Object.keys(BLENDS)];
  }

  start(): number[] {
    const { hours, parts } = this.#answer;
    const start = [
      ...this.#zones.map((id) => hours.zonesC[id]?.[0] ?? Number.NaN),
      ...parts.map((p) => (p.startTemperatureC ?? Number.NaN) * this.#liquid(p)),
      0,
    ];
    // A solver that is handed a NaN never comes back.
    if (start.some(Number.isNaN)) throw new Error('a number is missing');
    return start;
  }

  #liquid(part: ExplainAnswer['parts'][number]): number {
    return part.waterKg * this.#answer.constants.waterHeatCapacityJPerKgK + part.wallHeatCapacityJPerK;
  }

  part(index: number, enthalpy: number): { temperatureC: number; iceFraction: number } {
    const part = this.#answer.parts[index]!;
    const latent = part.waterKg * this.#answer.constants.latentHeatJPerKg;
    const solid = part.waterKg * this.#answer.constants.iceHeatCapacityJPerKgK + part.wallHeatCapacityJPerK;
    const below = enthalpy >= -latent ? 0 : (enthalpy + latent) / solid;
    return {
      temperatureC: enthalpy > 0 ? enthalpy / this.#liquid(part) : below,
      iceFraction: Math.min(1, Math.max(0, -enthalpy / latent)),
    };
  }

  /** Heat into the nodes and parts, with the underbelly free or held at the duct's cap. */
  rates(hour: number, t: number, y: readonly number[], held: boolean): { rates: number[]; spare: number } {
    const { network, furnace } = this.#answer;
    const zone = this.#temperatures(hour, t, y);
    const gains = new Map<string, number>(this.#nodes.map((id) => [id, 0]));
    for (const [name, [one, other]] of Object.entries(network.paths)) {
      const conductance = network.conductancesWPerK[name] ?? Number.NaN;
      const g = typeof conductance === 'number' ? conductance : conductance[hour]!;
      const flow = g * (zone(other) - zone(one));
      for (const [end, sign] of [[one, 1] as const, [other, -1] as const]) {
        if (gains.has(end)) gains.set(end, gains.get(end)! + sign * flow);
      }
    }
    let power = 0;
    let spare = Infinity;
    if (furnace !== null) {
      const wanted = (furnace.setC + furnace.bandK / 2 - zone('inside')) / furnace.bandK;
      power = furnace.capacityW * Math.min(1, Math.max(0, wanted));
      const loss = -(gains.get('underbelly') ?? Number.NaN);
      spare = power * furnace.ductedShare - loss;
      const below = held ? loss : power * furnace.ductedShare;
      gains.set('underbelly', gains.get('underbelly')! + below);
      gains.set('inside', gains.get('inside')! + power - below);
    }
    const parts = this.#answer.parts.map((part, i) => {
      const g = part.conductanceWPerK;
      const own = this.part(i, y[this.#zones.length + i]!).temperatureC;
      return (typeof g === 'number' ? g : g[hour]!) * (zone(part.zone) - own);
    });
    const nodes = this.#nodes.map((id) => gains.get(id)! / network.capacitiesJPerK[id]!);
    const blends = Object.entries(BLENDS).map(([id, { insideShare, lagS }]) => {
      const drive = insideShare * zone('inside') + (1 - insideShare) * zone('outside');
      return (drive - zone(id)) / lagS;
    });
    return { rates: [...nodes, ...blends, ...parts, power], spare };
  }

  #temperatures(hour: number, t: number, y: readonly number[]): (id: string) => number {
    const { hours } = this.#answer;
    const line = (values: readonly number[] | undefined): number => {
      const [from = Number.NaN, to = Number.NaN] = [values?.[hour], values?.[hour + 1]];
      return from + ((to - from) * t) / 3600;
    };
    return (id) => {
      if (id === 'ground') return line(hours.groundC);
      const own = this.#zones.indexOf(id);
      return own < 0 ? line(hours.zonesC['outside']) : y[own]!;
    };
  }

  underbelly(y: readonly number[]): number {
    return y[this.#nodes.indexOf('underbelly')] ?? Number.NaN;
  }

  zones(y: readonly number[]): readonly (readonly [string, number])[] {
    return this.#zones.map((id, i) => [id, y[i]!] as const);
  }

  enthalpies(y: readonly number[]): readonly number[] {
    return y.slice(this.#zones.length, -1);
  }
}

/** Short enough that the duct neither closes nor opens twice within. */
const STEP_S = 120;

/** One hour, cut where the duct to the underbelly closes or opens; that instant by halving. */
function hourOf(of: Reference, hour: number, from: { y: readonly number[]; held: boolean }, capC: number) {
  let { y, held } = from;
  const to = (start: readonly number[], t0: number, t1: number): readonly number[] =>
    t1 - t0 < 1e-9
      ? start
      : integrate((t, x) => of.rates(hour, t, x, held).rates, start, { from: t0, to: t1 });
  const over = (t: number, x: readonly number[]): boolean =>
    held ? of.rates(hour, t, x, held).spare < -1e-6 : of.underbelly(x) > capC + 1e-8;
  let t = 0;
  for (let steps = 0; t < 3600 - 1e-6; steps++) {
    if (steps > 200) throw new Error(`hour ${hour} has no end`);
    const end = Math.min(3600, t + STEP_S);
    const next = to(y, t, end);
    if (!over(end, next)) {
      [y, t] = [next, end];
      continue;
    }
    let [low, high] = [t, end];
    while (high - low > 1e-7) {
      const middle = (low + high) / 2;
      if (over(middle, to(y, t, middle))) high = middle;
      else low = middle;
    }
    [y, t, held] = [to(y, t, high), high, !held];
  }
  return { y, held };
}

const HEAT = { set: '64 °F', furnace: '6 kW' };

describe('a unit computed again from the answer of explain alone', () => {
  const cases: readonly (readonly [string, object])[] = [
    ['without heat', { heat: 'none' }],
    ['with 5 % of its heat below', { heat: { ...HEAT, ductedShare: 0.05 } }],
    ['with 30 % of its heat below, which overheats the underbelly', { heat: { ...HEAT, ductedShare: 0.3 } }],
    ['with a furnace too small', { heat: { ...HEAT, furnace: '2 kW', ductedShare: 0.05 } }],
    [
      'by the catalogue, in the wind, skirted',
      { network: undefined, skirting: 'vinyl', heat: { ...HEAT, ductedShare: 0.05 } },
    ],
  ];
  for (const [name, over] of cases) {
    it(`${name}: zones to 1e-6 K, ice to 1e-6, furnace to 1e-3 W`, async () => {
      const answer = await explained(over);
      const reference = new Reference(answer);
      const capC = answer.furnace?.underbellyCapC ?? Infinity;
      let y: readonly number[] = reference.start();
      let held = reference.underbelly(y) >= capC;
      for (let hour = 0; hour < HOURS; hour++) {
        const start = [...y.slice(0, -1), 0];
        ({ y, held } = hourOf(reference, hour, { y: start, held }, capC));
        for (const [zone, value] of reference.zones(y)) {
          expect(
            Math.abs(answer.hours.zonesC[zone]![hour + 1]! - value),
            `${zone}, hour ${hour}`,
          ).toBeLessThan(1e-6);
        }
        expect(Math.abs(answer.hours.furnaceW[hour]! - y.at(-1)! / 3600)).toBeLessThan(1e-3);
        reference.enthalpies(y).forEach((enthalpy, i) => {
          const theirs = reference.part(i, enthalpy);
          const ours = answer.parts[i]!;
          expect(Math.abs(ours.iceFraction[hour + 1]! - theirs.iceFraction)).toBeLessThan(1e-6);
          expect(Math.abs(ours.temperatureC[hour + 1]! - theirs.temperatureC)).toBeLessThan(1e-5);
        });
      }
    });
  }

  it('names what the wind changes by the hour and the rest once', async () => {
    const own = await explained({ heat: 'none' });
    for (const conductance of Object.values(own.network.conductancesWPerK)) {
      expect(typeof conductance).toBe('number');
    }
    const catalogue = await explained({ heat: 'none', network: undefined });
    expect(catalogue.network.conductancesWPerK['insideOutside']).toHaveLength(HOURS);
  });

  it('holds the underbelly at 25 °C and keeps the rest of the heat inside', async () => {
    const answer = await explained({ heat: { ...HEAT, ductedShare: 0.3 } });
    expect(Math.max(...(answer.hours.zonesC['underbelly'] ?? []))).toBeCloseTo(25, 6);
    expect(Math.min(...(answer.hours.zonesC['inside'] ?? []))).toBeGreaterThan(17);
  });
});
