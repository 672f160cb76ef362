import { parseInstant, type EpochSeconds } from '../../quantity/instant.ts';
import type { Observation } from '../../weather/reading.ts';
import type { Point } from '../source.ts';
import { distanceKm } from './place-parse.ts';
import { plausible, scaleOf } from './unit-parse.ts';
import { collectionWire, observationWire, stationWire } from './wire.ts';

export interface Station {
  readonly id: string;
  readonly distanceKm: number;
}

/** Older ones say nothing about now. */
const OLDEST_S = 90 * 60;
/** Clocks differ. */
const EARLIEST_S = 10 * 60;

/** Rejected, questioned, and bad by a person's judgement (MADIS quality control). */
const DOUBTED = new Set(['X', 'Q', 'B']);

/** Stations from the nearest to the farthest; null for another shape. */
export function parseStations(value: unknown, point: Point): readonly Station[] | null {
  const collection = collectionWire.safeParse(value);
  if (!collection.success) return null;
  return collection.data.features
    .flatMap((feature) => {
      const station = stationWire.safeParse(feature);
      if (!station.success) return [];
      const { geometry, properties } = station.data;
      const [longitude, latitude] = geometry.coordinates;
      return [{ id: properties.stationIdentifier, distanceKm: distanceKm(point, { latitude, longitude }) }];
    })
    .toSorted((a, b) => a.distanceKm - b.distanceKm);
}

/**
 * The newest usable air temperature among a station's observations, in any order; null where there is none. Stations
 * that report every five minutes leave most of them blank.
 */
export function parseObservations(value: unknown, station: Station, now: EpochSeconds): Observation | null {
  const collection = collectionWire.safeParse(value);
  if (!collection.success) return null;
  return collection.data.features
    .flatMap((feature) => readObservation(feature, station, now))
    .reduce<Observation | null>(
      (newest, next) => (newest === null || next.at > newest.at ? next : newest),
      null,
    );
}

function readObservation(feature: unknown, station: Station, now: EpochSeconds): readonly Observation[] {
  const wire = observationWire.safeParse(feature);
  if (!wire.success) return [];
  const { timestamp, temperature } = wire.data.properties;
  const at = parseInstant(timestamp);
  const scale = scaleOf('temperature', temperature.unitCode);
  if (at === null || scale === null || temperature.value === null) return [];
  // Older bodies write `qc:V`.
  const quality = (temperature.qualityControl ?? '').replace(/^qc:/, '');
  const temperatureC = plausible('temperature', scale(temperature.value));
  const unusable = Number.isNaN(temperatureC) || DOUBTED.has(quality);
  if (unusable || at > now + EARLIEST_S || now - at > OLDEST_S) return [];
  return [{ station: station.id, at, temperatureC, distanceKm: station.distanceKm }];
}
