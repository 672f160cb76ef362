/** What the course of readings gives away: a sensor that is stuck or jumps. */
import { HOUR_S } from '../quantity/instant.ts';
import { formatDifference, formatTemperature, type TemperatureUnit } from '../quantity/temperature.ts';
import type { HourlySeries } from './hourly.ts';
import { median, runs, spanS, type Finding, type Sample } from './sensor-value.ts';

interface Question {
  readonly of: 'outside' | 'zone' | 'held';
  readonly forecast: HourlySeries;
  readonly unit: TemperatureUnit;
}

/** All limits in this file are engineering estimates. */
const STUCK = {
  /** One value, whatever its rounding did on the way [K]. */
  sameK: 0.05,
  forS: 12 * HOUR_S,
  readings: 6,
  /** What the forecast moved meanwhile [K]. A zone follows the air outside at a distance. */
  movedK: { outside: 4, zone: 8 },
} as const;

/** A zone that a thermostat holds may well stay at one value. */
export function stuck(samples: readonly Sample[], { of, forecast, unit }: Question): Finding[] {
  if (of === 'held') return [];
  return runs(samples, (one, first) => Math.abs(one.temperatureC - first.temperatureC) <= STUCK.sameK)
    .filter((run) => run.length >= STUCK.readings && spanS(run) >= STUCK.forS)
    .map((run) => ({ samples: run, movedK: movedK(forecast, run) }))
    .filter((found) => found.movedK >= STUCK.movedK[of])
    .map(({ samples: run, movedK: moved }) => ({
      samples: run,
      message: `It read ${formatTemperature(run[0]?.temperatureC ?? Number.NaN, unit)} for ${Math.floor(spanS(run) / HOUR_S)} h while the forecast moved by ${formatDifference(moved, unit)}: it looks stuck. Look at its battery and restart it.`,
    }));
}

function movedK({ firstHour, temperatureC }: HourlySeries, run: readonly Sample[]): number {
  const index = (sample: Sample | undefined): number => ((sample?.at ?? Number.NaN) - firstHour) / HOUR_S;
  const [from, to] = [Math.ceil(index(run[0])), Math.floor(index(run.at(-1)))];
  const known = Array.from(temperatureC)
    .slice(Math.max(0, from), Math.max(0, to + 1))
    .filter((t) => !Number.isNaN(t));
  return known.length === 0 ? 0 : Math.max(...known) - Math.min(...known);
}

const JUMP = {
  /** There and back [K]: no air does so within the hour. */
  stepK: 8,
  withinS: 70 * 60,
  /** How far off its neighbours' line a reading is, at the median of so many over so long [K]. */
  scatterK: 2,
  readings: 12,
  overS: 24 * HOUR_S,
} as const;

export function jumping(samples: readonly Sample[]): Finding[] {
  const message =
    'The readings jump up and down as no air does. Look at the cable of the sensor and at what is near it.';
  const wrong = new Set([...samples.filter((_, i) => isSpike(samples, i)), ...scattered(samples)]);
  return wrong.size === 0 ? [] : [{ samples: [...wrong].toSorted((x, y) => x.at - y.at), message }];
}

/** Far above or below something on either side, and off the middle of what is around. */
function isSpike(samples: readonly Sample[], i: number): boolean {
  const here = samples[i];
  if (here === undefined) return false;
  const before = around(samples, i, -1);
  const after = around(samples, i, 1);
  const stands = (sign: 1 | -1): boolean =>
    [before, after].every((side) => side.some((t) => sign * (here.temperatureC - t) > JUMP.stepK));
  if (!stands(1) && !stands(-1)) return false;
  return Math.abs(here.temperatureC - median([...before, here.temperatureC, ...after])) > JUMP.stepK / 2;
}

function around(samples: readonly Sample[], i: number, step: 1 | -1): number[] {
  const here = samples[i]?.at ?? Number.NaN;
  const values: number[] = [];
  for (let j = i + step; ; j += step) {
    const other = samples[j];
    if (other === undefined || Math.abs(other.at - here) > JUMP.withinS) return values;
    values.push(other.temperatureC);
  }
}

/** Stretches in which most readings are off the line between their neighbours. */
function scattered(samples: readonly Sample[]): Sample[] {
  const offs = samples.slice(1, -1).flatMap((sample, i) => {
    const [before, after] = [samples[i], samples[i + 2]];
    if (before === undefined || after === undefined || after.at - before.at > 4 * HOUR_S) return [];
    const part = after.at === before.at ? 0.5 : (sample.at - before.at) / (after.at - before.at);
    const line = before.temperatureC + part * (after.temperatureC - before.temperatureC);
    return [{ sample, offK: Math.abs(sample.temperatureC - line) }];
  });
  return offs.flatMap((_, i) => {
    const stretch = offs.slice(i, i + JUMP.readings);
    const whole = stretch.length === JUMP.readings && spanS(stretch.map((o) => o.sample)) <= JUMP.overS;
    const scatter = whole && median(stretch.map(({ offK }) => offK)) > JUMP.scatterK;
    return scatter ? stretch.map(({ sample }) => sample) : [];
  });
}
