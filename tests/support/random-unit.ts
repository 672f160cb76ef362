/** Units, weather and plans made up at random, for comparison with a reference. */
import { batteryOf } from '../../src/model/catalogue-battery.ts';
import { buildUnit } from '../../src/model/catalogue.ts';
import type { HeatPlan } from '../../src/model/heat-plan.ts';
import {
  BELLIES,
  BELLY_SKINS,
  KINDS,
  SHELTERS,
  SKIRTINGS,
  type HeatSpec,
  type Part,
  type UnitModel,
  type UnitSpec,
} from '../../src/model/unit.ts';
import type { Random } from './random.ts';

const HOUR = 3600;

export interface RandomWeather {
  readonly temperatureC: Float64Array;
  readonly groundC: Float64Array;
  readonly windMps: Float64Array;
}

/** Days and nights about a mean that wanders, with a kink every hour; `hours` + 1 values. */
export function randomWeather(random: Random, hours: number): RandomWeather {
  const swingK = random.between(2, 9);
  const kinkK = random.between(0, 4);
  const deepC = random.between(2, 5);
  let meanC = random.between(-18, 4);
  let windMps = random.between(0, 8);
  const temperatureC = new Float64Array(hours + 1);
  const wind = new Float64Array(hours + 1);
  for (let i = 0; i <= hours; i++) {
    meanC = Math.min(8, Math.max(-25, meanC + random.between(-0.5, 0.5)));
    windMps = Math.min(14, Math.max(0, windMps + random.between(-2, 2)));
    temperatureC[i] =
      meanC + swingK * Math.cos((2 * Math.PI * (i - 15)) / 24) + kinkK * random.between(-1, 1);
    wind[i] = windMps;
  }
  return {
    temperatureC,
    groundC: Float64Array.from(wind, (_, i) => deepC + Math.sin(i / 30)),
    windMps: wind,
  };
}

export function randomUnit(random: Random): UnitModel {
  const kind = random.pick(KINDS);
  const spec: UnitSpec = {
    id: 'blue',
    kind,
    lengthM: random.chance(0.5) ? null : random.between(4, 12),
    slides: random.whole(0, 3),
    belly: random.pick(BELLIES),
    skirting: random.pick(SKIRTINGS),
    shelter: random.pick(SHELTERS),
    bellySkin: random.pick(BELLY_SKINS),
    hoseConnected: true,
    hoseHeated: random.chance(0.5),
    heat: random.chance(0.85) ? randomHeat(random) : null,
    network: null,
    elevationM: random.between(0, 2500),
    cupboardsOpen: random.chance(0.5),
    waterHeater: random.pick(['off', 'gas', 'shore']),
    tanklessProtected: random.chance(0.5),
    ...(random.chance(0.5) ? { tankPadW: random.between(20, 160) } : {}),
    tanks: { fresh: random.between(0.1, 1), grey: random.between(0.1, 1), black: random.between(0.1, 1) },
    parts: {
      catalogue: true,
      lines: [
        {
          id: 'taped',
          label: null,
          zone: random.pick(['outside', 'underneath', 'underbelly', 'bay'] as const),
          circuit: 'cold',
          tube: random.pick(['pex-1/2', 'copper-1/2']),
          lengthM: random.between(1, 6),
          sleeveM: random.pick([0, 0.01]),
          tapeWPerM: random.between(2, 20),
        },
      ],
      add: ['tankless-heater', 'slide-line', 'canister-filter'],
      without: [],
      own: [],
    },
  };
  return buildUnit(spec);
}

function randomHeat(random: Random): HeatSpec {
  const furnaceW = random.chance(0.85) ? random.between(1500, 9000) : 0;
  const shore = random.chance(0.6);
  const electricW = random.chance(0.4) ? random.between(500, 3000) : 0;
  // Half of a random charge lasts for a night or two.
  const battery = batteryOf({
    capacityAh: random.between(60, 400),
    kind: random.pick(['lead', 'lithium']),
    charge: random.between(0.5, 1),
    ageYears: random.whole(0, 6),
    furnaceW,
  });
  return {
    setC: random.between(8, 22),
    furnaceW,
    ductedShare: random.pick([0, 0.04, 0.12, 0.25, 0.5]),
    running: true,
    shore,
    ...(electricW > 0 ? { electricW } : {}),
    ...(random.chance(0.3) ? { heatPump: { watts: random.between(1000, 4000), limitC: 4 } } : {}),
    ...(random.chance(0.4) ? { gas: { kg: random.between(3, 18), cylinderKg: 13.6, refilled: true } } : {}),
    ...(random.chance(0.7) && furnaceW > 0 ? { battery } : {}),
  };
}

/** Heat, shore power and gas on and off at odd seconds, heat mostly on. */
export function randomPlan(random: Random, hours: number): HeatPlan {
  const count = random.whole(1, 8);
  const odd = Array.from({ length: count }, () => Math.round(random.between(0, hours * HOUR * 1000)) / 1000);
  const switches = [-Infinity, ...odd.toSorted((a, b) => a - b)].map((at) => {
    return { at, heat: random.chance(0.8), shore: random.chance(0.8), gas: random.chance(0.8) };
  });
  return { switches, suppliedFrom: random.whole(0, 48) * HOUR };
}

/** Up to two parts with heaters, a tank and two others. */
export function someParts(random: Random, { parts }: UnitModel): Part[] {
  const draw = (from: readonly Part[], count: number): Part[] => {
    const left = [...from];
    return Array.from({ length: Math.min(count, left.length) }, () => {
      return left.splice(random.whole(0, left.length - 1), 1)[0]!;
    });
  };
  const heated = parts.filter((p) => p.heat !== undefined);
  const tanks = parts.filter((p) => p.heat === undefined && p.iceLayerRatio > 0);
  const others = parts.filter((p) => p.heat === undefined && p.iceLayerRatio === 0);
  return [...draw(heated, 2), ...draw(tanks, 1), ...draw(others, 2)];
}
