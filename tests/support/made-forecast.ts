import type { Forecast, ForecastMember } from '../../src/weather/forecast.ts';
import type { Spot } from '../../src/weather/local-correction.ts';
import type { OutlookRequest } from '../../src/weather/outlook.ts';
import { seconds } from './instants.ts';

/** Midnight in Denver. */
export const MIDNIGHT = seconds('2026-12-01T07:00:00Z');
export const BENCH: Spot = { latitude: 39.7, longitude: -105, lie: 'bench', coldSpotK: 0, elevationM: null };
export const LAW = { atStartK: 1, perDayK: 0.3, members: 51 };

export function madeForecast(
  members: readonly Partial<ForecastMember>[],
  over: Partial<Forecast> = {},
): Forecast {
  return {
    source: 'meteo',
    attribution: null,
    issuedAt: null,
    fetchedAt: MIDNIGHT,
    firstHour: MIDNIGHT,
    whole: false,
    members: members.map((member) => ({
      weight: 1,
      temperatureC: [],
      windSpeedMps: null,
      cloudPercent: null,
      soilTemperatureC: null,
      ...member,
    })),
    ...over,
  };
}

/** A request for a forecast of a service on a bench, at its first hour. */
export function requestFor(forecast: Forecast, over: Partial<OutlookRequest> = {}): OutlookRequest {
  return { forecast, now: MIDNIGHT, horizonHours: 384, spot: BENCH, errorLaw: LAW, ofService: true, ...over };
}
