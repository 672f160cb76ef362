/** Where instants and temperatures stand in the drawing. */
import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import type { Told } from './body.ts';
import type { CourseFacts } from './extra-facts.ts';

export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly from: EpochSeconds;
  readonly to: EpochSeconds;
  readonly unit: TemperatureUnit;
  readonly x: (at: EpochSeconds) => number;
  /** Of °C. */
  readonly y: (temperatureC: number) => number;
  /** Whole degrees of the reader's unit, with their place. */
  readonly ticks: readonly { readonly shown: number; readonly y: number }[];
}

const BOX = { width: 600, height: 340, left: 56, right: 588, top: 76, bottom: 302 } as const;

/** Freezing, and some warmth above it, are always to be seen; so is the limit of drained lines. */
const LEAST = { highC: 3, lowC: -6 } as const;

export function frameOf(course: CourseFacts, { reader }: Told): Frame {
  const { times, lowC, highC, middleC, zone } = course;
  const all = [...lowC, ...highC, ...middleC, ...(zone?.temperatureC ?? []), LEAST.highC, LEAST.lowC];
  const unit = reader.temperature;
  const shown = (temperatureC: number): number => (unit === 'F' ? temperatureC * 1.8 + 32 : temperatureC);
  const span = all
    .filter(Number.isFinite)
    .reduce(([low, high], value) => [Math.min(low, value), Math.max(high, value)] as const, [
      Infinity,
      -Infinity,
    ] as const);
  const degrees = scaleLinear([shown(span[0]), shown(span[1])], [BOX.bottom, BOX.top]).nice(6);
  const [from, to] = [times[0] ?? 0, times.at(-1) ?? 1];
  const across = scaleLinear([from, to], [BOX.left, BOX.right]);
  return {
    ...BOX,
    from,
    to,
    unit,
    x: (at) => tenth(across(at)),
    y: (temperatureC) => tenth(degrees(shown(temperatureC))),
    ticks: degrees.ticks(6).map((value) => ({ shown: value, y: tenth(degrees(value)) })),
  };
}

/** Finer than that nobody sees, and the message grows. */
export function tenth(value: number): number {
  return Math.round(10 * value) / 10;
}

type Point = readonly [EpochSeconds, number];

export function linePath(
  { x, y }: Frame,
  times: readonly EpochSeconds[],
  valuesC: readonly number[],
): string {
  const points = times.map((at, i): Point => [at, valuesC[i] ?? Number.NaN]);
  const path = line<Point>()
    .defined(([, value]) => Number.isFinite(value))
    .x(([at]) => x(at))
    .y(([, value]) => y(value))
    .digits(1);
  return path(points) ?? '';
}

export function bandPath({ x, y }: Frame, { times, lowC, highC }: CourseFacts): string {
  const points = times.map((at, i) => ({ at, low: lowC[i] ?? Number.NaN, high: highC[i] ?? Number.NaN }));
  const path = area<(typeof points)[number]>()
    .defined(({ low, high }) => Number.isFinite(low) && Number.isFinite(high))
    .x(({ at }) => x(at))
    .y0(({ low }) => y(low))
    .y1(({ high }) => y(high))
    .digits(1);
  return path(points) ?? '';
}
