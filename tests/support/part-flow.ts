/** Heat that went into a part, summed up from its temperatures alone: quadrature that looks closer where it must. */
import type { Part } from '../../src/model/unit.ts';
import { runThrough, type From, type MadeAir, type Point } from './part-run.ts';

export interface Flow {
  /** ∫G·(T_air − T) [J]. */
  readonly heatJ: number;
  /** ∫|G·(T_air − T)| [J]. */
  readonly sizeJ: number;
}

/** Gauss and Lobatto's five points on [0, 1] and their weights: exact for polynomials up to degree 7. */
const AWAY = Math.sqrt(3 / 7) / 2;
const POINTS = [0, 0.5 - AWAY, 0.5, 0.5 + AWAY, 1];
const WEIGHTS = [1 / 20, 49 / 180, 16 / 45, 49 / 180, 1 / 20];
const FINEST_S = 0.02;

/** Over air that is linear, from a state of the part. */
export function flowThrough(part: Part, air: MadeAir, from: From): Flow & { readonly end: From } {
  const [whole, end] = quadrature(part, air, from);
  const half = air.durationS / 2;
  const first = { ...air, durationS: half };
  const second = { ...air, a: air.a + air.b * half, durationS: half };
  const [left, middle] = quadrature(part, first, from);
  const [right] = quadrature(part, second, middle);
  const isClose = Math.abs(left.heatJ + right.heatJ - whole.heatJ) <= 1e-11 * (left.sizeJ + right.sizeJ);
  if (isClose || half < FINEST_S)
    return { heatJ: left.heatJ + right.heatJ, sizeJ: left.sizeJ + right.sizeJ, end };
  const one = flowThrough(part, first, from);
  const other = flowThrough(part, second, one.end);
  return { heatJ: one.heatJ + other.heatJ, sizeJ: one.sizeJ + other.sizeJ, end: other.end };
}

function quadrature(part: Part, air: MadeAir, from: From): readonly [Flow, From] {
  let heatJ = 0;
  let sizeJ = 0;
  let end = from;
  POINTS.forEach((share, i) => {
    const t = share * air.durationS;
    end = t === 0 ? from : fromPoint(runThrough(part, [{ ...air, durationS: t }], from).end);
    const watts = part.conductanceWPerK * (air.a + air.b * t - end.temperatureC);
    heatJ += WEIGHTS[i]! * watts * air.durationS;
    sizeJ += WEIGHTS[i]! * Math.abs(watts) * air.durationS;
  });
  return [{ heatJ, sizeJ }, end];
}

function fromPoint({ phase, temperatureC, taken }: Point): From {
  return { temperatureC, taken, solid: phase === 'solid' };
}
