import { expect } from 'vitest';
import { SourceError } from '../../src/errors.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import { HOUR_S, type EpochSeconds } from '../../src/quantity/instant.ts';
import type { Forecast } from '../../src/weather/forecast.ts';

/** By the hour, every number that stands in the body for it and can be a temperature [°C]. */
export type Truth = ReadonlyMap<EpochSeconds, ReadonlySet<number>>;

/** Adds what may be a temperature; anything else is none. */
export function addTruth(truth: Map<EpochSeconds, Set<number>>, hour: EpochSeconds, value: unknown): void {
  if (typeof value !== 'number' || !(value >= -90 && value <= 60)) return;
  const values = truth.get(hour) ?? new Set<number>();
  truth.set(hour, values.add(value));
}

/** The code of an error that is fit to be shown. */
export function errorCode(error: unknown): string {
  if (!(error instanceof SourceError))
    throw new Error('An error of another kind was made.', { cause: error });
  expect(error.message.length, error.message).toBeLessThan(600);
  expect(error.message).not.toMatch(/[\p{Cc}\p{Cs}]/u);
  return error.code;
}

/** `forecast`, or the code of the error. A forecast holds what stands in the body, hour by hour, and something ahead. */
export function judgeAnswer(answer: SourceAnswer, truth: Truth, now: EpochSeconds): string {
  if (!answer.ok) return errorCode(answer.error);
  checkForecast(answer.forecast, now);
  checkHours(answer.forecast, truth);
  return 'forecast';
}

/** What holds of every forecast. */
export function checkForecast({ firstHour, members, gridElevationM = 0 }: Forecast, now: EpochSeconds): void {
  expect(firstHour % HOUR_S).toBe(0);
  expect(gridElevationM).toBeGreaterThanOrEqual(-430);
  expect(gridElevationM).toBeLessThanOrEqual(8849);
  const hours = members[0]!.temperatureC.length;
  const first = Math.floor((now - firstHour) / HOUR_S);
  const ahead = members.some(({ temperatureC }) =>
    temperatureC.some((t, i) => i >= first && !Number.isNaN(t)),
  );
  expect(ahead, 'a temperature from now on').toBe(true);
  for (const member of members) {
    expect(member.weight).toBeGreaterThan(0);
    inRange(member.temperatureC, hours, [-90, 60]);
    if (member.windSpeedMps !== null) inRange(member.windSpeedMps, hours, [0, 120]);
    if (member.cloudPercent !== null) inRange(member.cloudPercent, hours, [0, 100]);
    if (member.stepHours !== undefined) inRange(member.stepHours, hours, [1, 6]);
    for (const low of member.lows ?? []) {
      const sound = Number.isInteger(low.from) && low.from >= 0 && low.from <= low.to && low.to < hours;
      if (!sound) throw new Error(`A low for the hours ${low.from} to ${low.to} of ${hours}.`);
    }
  }
}

function inRange(values: readonly number[], hours: number, [least, most]: readonly [number, number]): void {
  expect(values).toHaveLength(hours);
  const odd = values.find((v) => !(Number.isNaN(v) || (v >= least && v <= most)));
  if (odd !== undefined) throw new Error(`${odd} is outside ${least} to ${most}.`);
}

/** A value is one of the body for its very hour; an hour for which the body has one is not lost. */
function checkHours({ firstHour, members }: Forecast, truth: Truth): void {
  for (const { temperatureC, model } of members) {
    if (model !== undefined) continue;
    temperatureC.forEach((t, i) => {
      const hour = firstHour + i * HOUR_S;
      const found = truth.get(hour);
      if (Number.isNaN(t) ? found !== undefined && members.length === 1 : !found?.has(t)) {
        const stands = found === undefined ? 'nothing' : [...found].join(' or ');
        throw new Error(`Hour ${i} is ${t} where the body has ${stands}.`);
      }
    });
  }
}
