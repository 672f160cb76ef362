/** Whether the readings of one sensor can be believed, held against the forecast and the sun. */
import type { EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import type { Night } from '../weather/local-correction.ts';
import { valueAt, type HourlySeries } from './hourly.ts';
import { absurd, inOtherUnit, ofTheFuture, tooOld, type Finding, type Sample } from './sensor-value.ts';
import { elsewhere } from './sensor-offset.ts';
import { jumping, stuck } from './sensor-course.ts';
import { inTheSun } from './sensor-sun.ts';
import type { Measured } from './truth.ts';

export interface SensorQuestion {
  /** Of one place's air outside, or of one zone of a unit; in any order. */
  readonly readings: readonly Measured[];
  /** `zone`: of a unit, without heat. `held`: its temperature is held by a thermostat. */
  readonly of: 'outside' | 'zone' | 'held';
  /** Of the air outside, without what readings have taught. */
  readonly forecast: HourlySeries;
  readonly night: Night;
  /** How clear the sky was, 0 to 1, by hour of the forecast; absent: not known. */
  readonly clear?: ArrayLike<number>;
  readonly now: EpochSeconds;
  /** In which to say it. */
  readonly unit: TemperatureUnit;
}

/** In this order: what one of them has found, the next do not look at. */
const FAULTS = {
  clock: ofTheFuture,
  old: tooOld,
  unit: inOtherUnit,
  absurd,
  jumping,
  stuck,
  elsewhere,
  sun: inTheSun,
} as const satisfies Record<string, (samples: readonly Sample[], question: SensorQuestion) => Finding[]>;

export type DoubtCode = keyof typeof FAULTS;

export interface Doubt {
  readonly code: DoubtCode;
  /** What is wrong and what to look at, in full sentences. */
  readonly message: string;
}

/** All of one kind that was found. */
export interface DoubtSummary extends Doubt {
  readonly since: EpochSeconds;
  readonly until: EpochSeconds;
  readonly readings: number;
}

export interface SensorVerdict {
  /** As asked, reading by reading; null: believed. */
  readonly doubts: readonly (Doubt | null)[];
  /** The latest of each kind in words; in the order of their first reading. */
  readonly summary: readonly DoubtSummary[];
}

export function judgeSensor(question: SensorQuestion): SensorVerdict {
  const doubts = question.readings.map((): Doubt | null => null);
  const summary: DoubtSummary[] = [];
  let rest = samplesOf(question);
  for (const [code, find] of Object.entries(FAULTS) as [DoubtCode, (typeof FAULTS)[DoubtCode]][]) {
    const findings = find(rest, question);
    for (const { samples, message } of findings)
      for (const { index } of samples) doubts[index] = { code, message };
    summary.push(...summaryOf(code, findings));
    rest = rest.filter(({ index }) => doubts[index] === null);
  }
  return { doubts, summary: summary.toSorted((x, y) => x.since - y.since) };
}

function summaryOf(code: DoubtCode, findings: readonly Finding[]): DoubtSummary[] {
  const ats = findings.flatMap(({ samples }) => samples.map(({ at }) => at)).toSorted((x, y) => x - y);
  const [since, until, last] = [ats[0], ats.at(-1), findings.at(-1)];
  if (since === undefined || until === undefined || last === undefined) return [];
  return [{ code, message: last.message, since, until, readings: ats.length }];
}

function samplesOf({ readings, forecast, night, clear = [] }: SensorQuestion): Sample[] {
  return readings
    .map(({ at, temperatureC }, index) => ({
      index,
      at,
      temperatureC,
      forecastC: valueAt(forecast, at),
      darkness: valueAt({ firstHour: night.firstHour, temperatureC: night.darkness }, at),
      clear: valueAt({ firstHour: forecast.firstHour, temperatureC: clear }, at),
    }))
    .toSorted((x, y) => x.at - y.at);
}
