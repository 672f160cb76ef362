/** The model's own part, alone in still air of one temperature. The one place here that knows the kernel. */
import { AirTrack } from '../../src/model/air-track.ts';
import { PartBody, takenAt } from '../../src/model/part.ts';
import { ZONES, type Network, type Part, type ZoneAir, type ZoneId } from '../../src/model/unit.ts';

const PLAIN: Part = {
  id: 'body',
  label: 'body',
  zone: 'outside',
  circuit: 'cold',
  waterKg: 1,
  conductanceWPerK: 1,
  windShare: 0,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: null,
  body: 'rigid',
  blocked: 1,
  solid: 1,
  iceLayerRatio: 0,
  pocket: 'never',
  provenance: 'config',
};

const OUTSIDE: ZoneAir = { of: [{ end: 'outside', weight: 1 }], lagS: 0 };
const OPEN: Network = {
  nodes: [],
  paths: [],
  zones: Object.fromEntries(ZONES.map((zone) => [zone, OUTSIDE])) as Record<ZoneId, ZoneAir>,
};

/** One piece of air that stays at a temperature. */
function stillAir(airC: number, durationS: number): AirTrack {
  return Object.assign(new AirTrack(OPEN, 'outside'), {
    count: 1,
    hour: Int32Array.of(0),
    stretch: Int32Array.of(0),
    startS: Float64Array.of(0),
    durationS: Float64Array.of(durationS),
    a: Float64Array.of(airC),
    b: Float64Array.of(0),
    modes: Uint8Array.of(0),
    supply: Uint8Array.of(0),
    integral: Float64Array.of(airC * durationS),
    sign: Int8Array.of(airC < 0 ? -1 : 1),
    goesBelow: airC < 0,
  });
}

export interface Body {
  readonly waterKg: number;
  readonly conductanceWPerK: number;
  readonly iceLayerRatio?: number;
}

export interface Times {
  /** Seconds until 0 °C, and until all is ice. */
  readonly zeroS: number;
  readonly solidS: number;
}

/** From `startC` in air of `airC`. */
export function freeze(body: Body, startC: number, airC: number): Times {
  const part = new PartBody({ ...PLAIN, ...body });
  part.temperatureC = startC;
  part.advance(stillAir(airC, 3e8), 0, 0);
  return { zeroS: part.passed.zeroS, solidS: part.passed.solidS };
}

export interface Growth {
  readonly fromFraction: number;
  readonly airC: number;
  readonly seconds: number;
}

/** Ice fraction after so long, from a fraction at 0 °C. */
export function grow(body: Body, { fromFraction, airC, seconds }: Growth): number {
  const plain = { ...PLAIN, ...body };
  const part = new PartBody(plain);
  part.phase = 'ice';
  part.taken = takenAt(plain, fromFraction);
  part.advance(stillAir(airC, seconds), 0, 0);
  return part.iceFraction;
}
