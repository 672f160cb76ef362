/** Whether a reported temperature can be taken: is there such a place, unit or zone, can it be so cold, was it lately? */
import type { Config, PlaceConfig, UnitConfig } from '../config/config.ts';
import { DAY_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { formatNumber } from '../quantity/quantity.ts';
import { toCelsius, type Reported } from '../readings/parse.ts';
import { READINGS_KEPT_DAYS } from '../store/prune.ts';
import type { Reading, ReadingOrigin } from '../weather/reading.ts';
import { zonesOf } from './middle-course.ts';

export type CheckedReading =
  | { readonly ok: true; readonly reading: Reading }
  | { readonly ok: false; readonly mistakes: readonly ReadingMistake[] };

export interface ReadingMistake {
  /** Whether it is the id of the place or unit that nobody knows, or something else. */
  readonly code: 'unknown-id' | 'invalid';
  /** A full sentence. */
  readonly text: string;
}

/** Where the clocks of sensors may be ahead of ours. */
const AHEAD_S = 600;

/**
 * Air where trailers stand, and what an overheated cabin may reach [°C]: engineering estimate. What broken sensors
 * report lies beyond: −127 °C, 85 °C, and Fahrenheit taken for Celsius on a warm day.
 */
const LEAST_C = -60;
const MOST_C = 60;

export interface ReadingContext {
  readonly now: EpochSeconds;
  readonly origin: ReadingOrigin;
}

/** Names every mistake, not just the first. */
export function checkReading(
  config: Config,
  reported: Reported,
  { now, origin }: ReadingContext,
): CheckedReading {
  const temperatureC = toCelsius(reported.temperature, reported.scale);
  const target = findIds(config, reported);
  const zone = reported.zone ?? 'outside';
  const invalid = [
    ...(target.ok ? wrongZone(target, zone) : []),
    ...wrongTemperature(reported, temperatureC),
    ...wrongTime(reported.at, now),
  ].map((text) => ({ code: 'invalid' as const, text }));
  if (!target.ok) return { ok: false, mistakes: [target.mistake, ...invalid] };
  if (invalid.length > 0) return { ok: false, mistakes: invalid };
  const { place, unit } = target;
  const of = { place: place.id, unit: unit?.id ?? null, zone, at: reported.at };
  return { ok: true, reading: { ...of, temperatureC, origin } };
}

/** What a reading is of. Unit null: the place's own air. */
export interface ReadingTarget {
  readonly place: PlaceConfig;
  readonly unit: UnitConfig | null;
}

type Found =
  ({ readonly ok: true } & ReadingTarget) | { readonly ok: false; readonly mistake: ReadingMistake };

function findIds(config: Config, { place: placeId, unit: unitId }: Pick<Reported, 'place' | 'unit'>): Found {
  const unit = config.units.find((u) => u.id === unitId) ?? null;
  const place = config.places.find((p) => p.id === (unit?.place ?? placeId));
  if (place !== undefined && (unitId === null || unit !== null)) return { ok: true, place, unit };
  const [sort, id, known] =
    unitId === null ? ['place', placeId, config.places] : ['unit', unitId, config.units];
  const ids = known.map((one) => one.id).join(', ');
  const text = `There is no ${sort} "${named(id ?? '')}". Known ${sort}s are: ${ids || 'none'}.`;
  return { ok: false, mistake: { code: 'unknown-id', text } };
}

/** What somebody sent, to be said back to them: a name may be as long as a whole request. */
function named(id: string): string {
  const characters = Array.from(id);
  return characters.length <= LONGEST_NAME ? id : `${characters.slice(0, LONGEST_NAME - 1).join('')}…`;
}

const LONGEST_NAME = 60;

function wrongZone({ place, unit }: ReadingTarget, zone: string): string[] {
  if (unit === null) {
    if (zone === 'outside') return [];
    return [`Place ${place.id} has no zone "${named(zone)}", only outside air; zones are of a unit.`];
  }
  const known: readonly string[] = zonesOf(unit.model);
  if (known.includes(zone)) return [];
  return [`Unit ${unit.id} has no zone "${named(zone)}". Its zones are: ${known.join(', ')}.`];
}

function wrongTemperature({ temperature, scale }: Reported, temperatureC: number): string[] {
  if (temperatureC >= LEAST_C && temperatureC <= MOST_C) return [];
  return [
    `${formatNumber(temperature)} °${scale} cannot be: it must lie between ${formatNumber(LEAST_C)} and ${MOST_C} °C (−76 and 140 °F). Look at the sensor, and at its unit.`,
  ];
}

function wrongTime(at: EpochSeconds, now: EpochSeconds): string[] {
  if (at > now + AHEAD_S)
    return [`The time ${isoSecond(at)} lies in the future. Say when it was measured, and look at the clock.`];
  if (at < now - READINGS_KEPT_DAYS * DAY_S)
    return [`The time ${isoSecond(at)} is more than ${READINGS_KEPT_DAYS} days ago; nothing so old is kept.`];
  return [];
}
