import { linearCourse } from '../../src/model/course.ts';
import { advancePart, iceFraction, takenAt, type PartState } from '../../src/model/part.ts';
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

export interface Body {
  readonly waterKg: number;
  readonly conductanceWPerK: number;
  readonly iceLayerRatio?: number;
}

export interface Passed {
  /** Seconds until 0 °C, and until all is ice. */
  readonly zeroS: number;
  readonly solidS: number;
}

/** The model's own part from `startC` in air of `airC`. */
export function freeze(body: Body, startC: number, airC: number): Passed {
  const part = { ...PLAIN, ...body };
  const state: PartState = { temperatureC: startC, taken: 0 };
  const stretch = { air: linearCourse(airC, 0), durationS: 3e8, conductanceWPerK: body.conductanceWPerK };
  const events = advancePart(part, state, stretch);
  const at = (line: string): number => events.find((e) => e.line === line)?.atS ?? Number.NaN;
  return { zeroS: at('zero'), solidS: at('solid') };
}

export interface Growth {
  readonly fromFraction: number;
  readonly airC: number;
  readonly seconds: number;
}

/** Ice fraction after so long, from a fraction at 0 °C. */
export function grow(body: Body, { fromFraction, airC, seconds }: Growth): number {
  const part = { ...PLAIN, ...body };
  const state: PartState = { temperatureC: 0, taken: takenAt(part, fromFraction) };
  const stretch = { air: linearCourse(airC, 0), durationS: seconds, conductanceWPerK: body.conductanceWPerK };
  advancePart(part, state, stretch);
  return iceFraction(part, state.taken);
}
