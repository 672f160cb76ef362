/**
 * The three services with recorded bodies, their dates moved by whole days to about `RECORDED_AT` and their coordinates to
 * the place; values are untouched, so they are of other winters and summers and contradict each other.
 */
import { readFileSync } from 'node:fs';
import { sharedPath } from '../shared-data.ts';
import { iso, seconds } from './instants.ts';
import { FARM_PLACE, geoJson } from './three-services.ts';
import type { WeatherHandler, WeatherReply } from './weather-server.ts';

/** Shortly after the recorded grid was made. */
export const RECORDED_AT = seconds('2026-01-15T18:20:00Z');
const DAY = 86_400;

type Json = Record<string, unknown>;

function recording(name: string): string {
  return readFileSync(sharedPath(`recordings/${name}`), 'utf8');
}

const parsed = (name: string): Json => JSON.parse(recording(name)) as Json;

/** 31 days later: 15 December becomes 15 January. */
function aMonthLater(text: string): string {
  return text
    .replaceAll('2025-12-', '2026-01-')
    .replaceAll(/([.-])2512(\d\dT)/g, '$12601$2')
    .replaceAll('December', 'January');
}

interface AlertFeature {
  readonly properties: { readonly parameters: { readonly VTEC?: readonly string[] } };
}

/** A Freeze Warning, and the Watch that it took the place of: upgraded here, cancelled there. */
function alertsReply(): WeatherReply {
  const all = JSON.parse(aMonthLater(recording('nws/alerts/freeze-2025-12-15.json'))) as {
    features: AlertFeature[];
  };
  const features = all.features.filter(({ properties: { parameters } }) =>
    parameters.VTEC?.some((event) => event.includes('.KTAE.FZ.')),
  );
  return geoJson({ ...all, features });
}

function pointsReply(): WeatherReply {
  const point = parsed('nws/weathergov_points.json');
  const own = { gridId: 'OAX', gridX: 59, gridY: 58 };
  return geoJson({ ...point, properties: { ...(point['properties'] as Json), ...own } });
}

function observationReply(): WeatherReply {
  const latest = parsed('nws/weathergov_current.json');
  const timestamp = iso(RECORDED_AT - 1620).replace('Z', '+00:00');
  const feature = { ...latest, properties: { ...(latest['properties'] as Json), timestamp } };
  return geoJson({ type: 'FeatureCollection', features: [feature] });
}

export const recordedNws: WeatherHandler = ({ path }) => {
  if (path.startsWith('/points/')) return pointsReply();
  if (path.startsWith('/alerts/')) return alertsReply();
  if (path.endsWith('/stations')) return geoJson(parsed('nws/weathergov_stations.json'));
  if (path.endsWith('/observations')) return observationReply();
  if (path.endsWith('/forecast/hourly')) return geoJson(parsed('nws/gridpoint-hourly-winter.json'));
  return geoJson(parsed('nws/gridpoint-raw-winter.json'));
};

/** Munich, February 2026, 25 days earlier, from three days before on: of its variables the one that is asked for. */
export const recordedOpenMeteo: WeatherHandler = () => {
  const body = parsed('open-meteo/forecast-unixtime-munich-2026-02.json');
  const hourly = body['hourly'] as Record<string, number[]>;
  const time = (hourly['time'] ?? []).map((at) => at - 25 * DAY);
  const { latitude, longitude } = FARM_PLACE;
  const moved = { hourly: { time, temperature_2m: hourly['temperature_2m'] } };
  const units = { hourly_units: { time: 'unixtime', temperature_2m: '°C' } };
  return { body: JSON.stringify({ ...body, latitude, longitude, ...moved, ...units }) };
};

interface MetBody {
  readonly geometry: { coordinates: unknown };
  readonly properties: { readonly meta: { updated_at: string }; readonly timeseries: { time: string }[] };
}

/** Mecklenburg, August 2022, so many whole days later that its hours begin today. */
export const recordedMetNorway: WeatherHandler = () => {
  const body = parsed('met-norway/complete-percentiles-2022-08.json') as unknown as MetBody;
  const { meta, timeseries } = body.properties;
  const first = seconds(timeseries[0]?.time ?? '');
  const shift = (Math.floor(RECORDED_AT / DAY) - Math.floor(first / DAY)) * DAY;
  for (const step of timeseries) step.time = iso(seconds(step.time) + shift);
  meta.updated_at = iso(seconds(meta.updated_at) + shift);
  body.geometry.coordinates = [FARM_PLACE.longitude, FARM_PLACE.latitude, 368];
  return { body: JSON.stringify(body) };
};
