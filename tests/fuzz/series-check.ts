import { expect } from 'vitest';
import { SourceError } from '../../src/errors.ts';
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

/** As `expect`, which takes a hundred times as long. */
export function ensure(holds: boolean, what: string): void {
  if (!holds) throw new Error(`Not so: ${what}.`);
}

/** What holds of every forecast. */
export function checkForecast({ firstHour, members, gridElevationM = 0 }: Forecast, now: EpochSeconds): void {
  ensure(firstHour % HOUR_S === 0, 'it begins with a whole hour');
  ensure(gridElevationM >= -430 && gridElevationM <= 8849, 'its height is one');
  const hours = members[0]!.temperatureC.length;
  const first = Math.floor((now - firstHour) / HOUR_S);
  const ahead = members.some(({ temperatureC }) =>
    temperatureC.some((t, i) => i >= first && !Number.isNaN(t)),
  );
  ensure(ahead, 'it knows a temperature from now on');
  for (const member of members) {
    ensure(member.weight > 0, 'its members weigh something');
    inRange(member.temperatureC, hours, [-90, 60]);
    if (member.windSpeedMps !== null) inRange(member.windSpeedMps, hours, [0, 120]);
    if (member.cloudPercent !== null) inRange(member.cloudPercent, hours, [0, 100]);
    if (member.stepHours !== undefined) inRange(member.stepHours, hours, [1, 6]);
    for (const { from, to } of member.lows ?? []) {
      ensure(
        Number.isInteger(from) && from >= 0 && from <= to && to < hours,
        `a low lies within it: ${from} to ${to}`,
      );
    }
  }
}

function inRange(values: readonly number[], hours: number, [least, most]: readonly [number, number]): void {
  ensure(values.length === hours, 'all its series are of one length');
  const odd = values.find((v) => !(Number.isNaN(v) || (v >= least && v <= most)));
  ensure(odd === undefined, `${odd} lies between ${least} and ${most}`);
}

/** A value is one of the body for its very hour; an hour for which the body has one is not lost. */
export function checkSeries(
  temperatureC: readonly number[],
  { firstHour, truth }: { readonly firstHour: EpochSeconds; readonly truth: Truth },
): void {
  temperatureC.forEach((t, i) => {
    const found = truth.get(firstHour + i * HOUR_S);
    if (Number.isNaN(t) ? found === undefined : found?.has(t) === true) return;
    const stands = found === undefined ? 'nothing' : [...found].join(' or ');
    throw new Error(`Hour ${i} is ${t} where the body has ${stands}.`);
  });
}
