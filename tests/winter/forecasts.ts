/** Forecasts of a winter: what really came, and errors of the stated law, drawn anew for each issue. */
import type { ForecastSource } from '../../src/forecast/source.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { errorDeviationK } from '../../src/weather/error-law.ts';
import { standardErrors } from '../../src/weather/error-lattice.ts';
import { lawErrors } from '../support/law-errors.ts';
import { Random } from '../support/random.ts';
import type { Winter } from './series.ts';

const HOUR = 3600;
const PAST_HOURS = 72;
const AHEAD_HOURS = 4 * 24;
const ISSUED_EVERY_S = 6 * HOUR;

/** The air at an hour; behind the end of the series it stays as it was last. */
export function truthAt({ firstHour, temperatureC }: Winter, at: number): number {
  const index = Math.round((at - firstHour) / HOUR);
  return temperatureC[Math.min(Math.max(0, index), temperatureC.length - 1)] ?? Number.NaN;
}

function windAt({ firstHour, windSpeedMps }: Winter, at: number): number {
  const index = Math.round((at - firstHour) / HOUR);
  return windSpeedMps[Math.min(Math.max(0, index), windSpeedMps.length - 1)] ?? Number.NaN;
}

/** Of the issue that holds at `now`; hours before it are as they were. */
export function forecastAt(winter: Winter, now: number, seed: number): Forecast {
  const issuedAt = Math.floor(now / ISSUED_EVERY_S) * ISSUED_EVERY_S;
  const random = new Random(seed * 7_919 + issuedAt / ISSUED_EVERY_S);
  const errors = lawErrors(random, AHEAD_HOURS + 12);
  const firstHour = Math.floor(now / HOUR) * HOUR - PAST_HOURS * HOUR;
  const hours = Array.from({ length: PAST_HOURS + AHEAD_HOURS }, (_, i) => firstHour + i * HOUR);
  const error = (hour: number): number => (hour <= issuedAt ? 0 : (errors[(hour - issuedAt) / HOUR] ?? 0));
  return {
    source: 'series',
    attribution: null,
    issuedAt,
    fetchedAt: issuedAt,
    firstHour,
    whole: false,
    members: [
      {
        weight: 1,
        temperatureC: hours.map((hour) => truthAt(winter, hour) + error(hour)),
        windSpeedMps: hours.map((hour) => windAt(winter, hour)),
        cloudPercent: null,
        soilTemperatureC: null,
      },
    ],
  };
}

/** What really comes, without an error. */
export function truthFrom(winter: Winter, now: number, hoursAhead: number): Forecast {
  const firstHour = Math.floor(now / HOUR) * HOUR - PAST_HOURS * HOUR;
  const hours = Array.from({ length: PAST_HOURS + hoursAhead }, (_, i) => firstHour + i * HOUR);
  const member = {
    weight: 1,
    temperatureC: hours.map((hour) => truthAt(winter, hour)),
    windSpeedMps: hours.map((hour) => windAt(winter, hour)),
    cloudPercent: null,
    soilTemperatureC: null,
  };
  const service = { source: 'series', attribution: null, issuedAt: null, fetchedAt: now };
  return { ...service, firstHour, whole: true, members: [member] };
}

export function sourceOf(winter: Winter, seed: number): ForecastSource {
  return {
    id: 'series',
    fetch: async (points, now) => {
      const forecast = forecastAt(winter, now, seed);
      return new Map(points.map(({ id }) => [id, { ok: true, forecast, writtenAt: now }]));
    },
  };
}

/** The lowest of the single forecast from now on. */
export function lowWithin(winter: Winter, now: number, seed: number, within: number): number {
  const { firstHour, members } = forecastAt(winter, now, seed);
  const from = Math.floor((now - firstHour) / HOUR);
  return Math.min(...(members[0]?.temperatureC.slice(from, from + within / HOUR + 1) ?? []));
}

/** The coldest hour of the past and of any member that the program makes of a forecast. */
export class Coldest {
  readonly #least: readonly number[];

  constructor(members: number) {
    const errors = standardErrors(members, AHEAD_HOURS + 12);
    const law = { atStartK: 1, perDayK: 0.3, members };
    this.#least = Array.from(
      { length: AHEAD_HOURS + 12 },
      (_, h) => errorDeviationK(law, h * HOUR) * Math.min(...errors.map((e) => e[h]!)),
    );
  }

  of({ members, firstHour, issuedAt }: Forecast): number {
    const lead = (i: number): number => (firstHour - (issuedAt ?? firstHour)) / HOUR + i;
    const air = members[0]?.temperatureC ?? [];
    return Math.min(...air.map((t, i) => t + (this.#least[lead(i)] ?? 0)));
  }
}
