/** The model's own part, alone in still air of one temperature. The one place here that knows the kernel. */
import { A, AirPieces, DURATION_S, INTEGRAL, MARKS, PIECE, SIGN } from '../../src/model/air-pieces.ts';
import { PartBody, takenAt } from '../../src/model/part.ts';
import type { Part } from '../../src/model/unit.ts';

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

/** One piece of air that stays at a temperature. */
function stillAir(airC: number, durationS: number): AirPieces {
  const air = new AirPieces();
  air.count = 1;
  air.numbers = new Float64Array(PIECE);
  air.numbers[DURATION_S] = durationS;
  air.numbers[A] = airC;
  air.numbers[INTEGRAL] = airC * durationS;
  air.marks = new Int32Array(MARKS);
  air.marks[SIGN] = airC < 0 ? -1 : 1;
  return air;
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
  part.advance(stillAir(airC, 3e8), 0);
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
  part.advance(stillAir(airC, seconds), 0);
  return part.iceFraction;
}
