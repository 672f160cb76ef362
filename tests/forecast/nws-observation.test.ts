import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseObservations, parseStations } from '../../src/forecast/nws/observation-parse.ts';
import { distanceKm } from '../../src/forecast/nws/place-parse.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import { collection, FARM, NOW, observed, station } from './nws-bodies.ts';

const KOMA = { id: 'KOMA', distanceKm: 61 };

/** Temperature of the observation that is used, or null. */
function used(...features: unknown[]): number | null {
  return parseObservations(collection(...features), KOMA, NOW)?.temperatureC ?? null;
}

describe('the recorded stations', () => {
  itWithShared('are as far as the service says from the cell’s centre, and in its order', () => {
    // Its distances are from the cell (recorded with weathergov_hourly.json, the same cell): its mean corner.
    const cell = { latitude: 38.8693, longitude: -77.05675 };
    const wire = recorded('weathergov_stations.json') as {
      features: { properties: { stationIdentifier: string; distance: { value: number } } }[];
    };
    const told = new Map(
      wire.features.map(({ properties: p }) => [p.stationIdentifier, p.distance.value / 1000]),
    );
    const stations = parseStations(wire, { id: 'x', elevationM: null, ...cell })!;
    expect(stations).toHaveLength(56);
    expect(stations[0]!.id).toBe('KDCA');
    // On an ellipsoid distances differ by up to 0.5 %, and the centre is not told exactly.
    for (const { id, distanceKm: km } of stations)
      expect(Math.abs(km - told.get(id)!)).toBeLessThan(0.5 + 0.005 * km);
  });

  itWithShared('and observations: the one of KDCA is read', () => {
    const now = seconds('2026-02-06T21:45:00Z');
    const feature = recorded('weathergov_current.json');
    expect(parseObservations(collection(feature), { id: 'KDCA', distanceKm: 3 }, now)).toEqual({
      station: 'KDCA',
      at: seconds('2026-02-06T21:30:00Z'),
      temperatureC: -1,
      distanceKm: 3,
    });
  });

  itWithShared('NWS-10: and observations that are missing, numbers as text and −100 °C are none', () => {
    const now = seconds('2019-06-27T11:00:00Z');
    const read = (name: string): number | null =>
      parseObservations(recorded(name), KOMA, now)?.temperatureC ?? null;
    expect(read('stations_observations_missing_value.json')).toBeNull();
    expect(read('stations_observations_noprop.json')).toBeNull();
    expect(read('stations_observations_strings.json')).toBeNull();
    // Two: −100 °C at 10:50, listed first, and 10 °C at 10:53.
    expect(read('stations_observations_multiple_unsorted.json')).toBe(10);
  });
});

describe('NWS-10: an observation', () => {
  it('is used to the tenth as it is, also in °F', () => {
    expect(used(observed({ value: -3.9 }))).toBe(-3.9);
    expect(used(observed({ value: 14, unitCode: 'wmoUnit:degF' }))).toBe(-10);
    expect(used(observed({ value: 0, unitCode: 'unit:degC', qualityControl: 'qc:V' }))).toBe(0);
  });

  it.each([
    ['null', { value: null }],
    ['rejected', { value: -3, qualityControl: 'X' }],
    ['questioned', { value: -3, qualityControl: 'Q' }],
    ['questioned, as older bodies write it', { value: -3, qualityControl: 'qc:Q' }],
    ['bad by judgement', { value: -3, qualityControl: 'B' }],
    ['in another unit', { value: -3, unitCode: 'wmoUnit:percent' }],
    ['text', { value: '-3' }],
    ['−100 °C', { value: -100 }],
  ])('is none when it is %s, never 0 °C or 32 °F', (_what, temperature) => {
    expect(used(observed(temperature))).toBeNull();
  });

  it.each(['Z', 'C', 'S', 'V', 'G', undefined])('is used with the quality %s', (qualityControl) => {
    expect(used(observed({ value: -3, qualityControl }))).toBe(-3);
  });

  it('is none when older than 90 minutes, or of the future', () => {
    expect(used(observed({ value: -3 }, '2026-01-15T16:50:00+00:00'))).toBe(-3);
    expect(used(observed({ value: -3 }, '2026-01-15T16:49:59+00:00'))).toBeNull();
    expect(used(observed({ value: -3 }, '2026-01-15T18:31:00+00:00'))).toBeNull();
    expect(used(observed({ value: -3 }, 'noon'))).toBeNull();
  });

  it('is the newest that has a value: every five minutes most are blank', () => {
    expect(
      used(
        observed({ value: -3 }, '2026-01-15T17:20:00+00:00'),
        observed({ value: null }, '2026-01-15T18:15:00+00:00'),
        observed({ value: -4 }, '2026-01-15T17:53:00+00:00'),
      ),
    ).toBe(-4);
    expect(used()).toBeNull();
    expect(parseObservations({}, KOMA, NOW)).toBeNull();
  });
});

describe('stations', () => {
  it('are ordered by their distance from the place, and those without an id or a place are left out', () => {
    const stations = parseStations(
      collection(station('KFAR', -98), station('KNEAR', -96.7), { properties: {} }, station('../x', -96.63)),
      FARM,
    );
    expect(stations!.map(({ id }) => id)).toEqual(['KNEAR', 'KFAR']);
    expect(parseStations({}, FARM)).toBeNull();
  });

  it('are as far as the length of a degree says', () => {
    // One degree of a great circle is R·π/180 = 6371.0088 · 0.0174533 = 111.195 km.
    const at = (latitude: number, longitude: number): { latitude: number; longitude: number } => ({
      latitude,
      longitude,
    });
    expect(distanceKm(at(40, -96), at(41, -96))).toBeCloseTo(111.195, 2);
    expect(distanceKm(at(0, 179.5), at(0, -179.5))).toBeCloseTo(111.195, 2);
    expect(distanceKm(at(40, -96), at(40, -96))).toBe(0);
  });
});

function recorded(name: string): unknown {
  return JSON.parse(readFileSync(sharedPath(`recordings/nws/${name}`), 'utf8'));
}
