import tzLookup from '@photostructure/tz-lookup';
import type { Draft } from './draft.ts';
import { mapsAt, numberAt, problemAt, textAt } from './draft.ts';
import { shown } from './found.ts';
import type { Problem } from './problem.ts';

/** Any instant in northern winter serves; a fixed one gives the same answer on every day. */
const WINTER = Date.UTC(2026, 0, 15);
/** Further from its own time zone no place lies; nearer than this, a zone is taken to fit. */
const TOO_FAR_HOURS = 3;
const NEAR_HOURS = 1;
/** South of here no road leads. */
const SOUTHERNMOST_DEG = -60;

interface Coordinates {
  readonly latitude: number;
  readonly longitude: number;
}

export function placeRules(root: Draft): readonly Problem[] {
  return mapsAt(root, 'places').flatMap((place) => {
    const latitude = numberAt(place, 'latitude');
    const longitude = numberAt(place, 'longitude');
    if (latitude === null || longitude === null) return [];
    const text = coordinateProblem({ latitude, longitude }, textAt(place, 'timeZone'));
    return text === null ? [] : [problemAt(place, 'latitude', text)];
  });
}

function coordinateProblem(at: Coordinates, zone: string | null): string | null {
  const { latitude, longitude } = at;
  const found = `found latitude ${shown(latitude)}, longitude ${shown(longitude)}`;
  const swapped = { latitude: longitude, longitude: latitude };
  if (latitude === 0 && longitude === 0) {
    return `coordinates must be those of the place; 0, 0 is in the middle of the sea, ${found}`;
  }
  if (!isOnEarth(at)) {
    return isOnEarth(swapped) ? `latitude and longitude look swapped, ${found}` : null;
  }
  if (latitude < SOUTHERNMOST_DEG) {
    const hint = isOnEarth(swapped) ? '; latitude and longitude look swapped' : '';
    return `no trailer stands south of ${SOUTHERNMOST_DEG}°${hint}, ${found}`;
  }
  return zone === null ? null : zoneProblem(at, zone, found);
}

/** Coordinates that lie in quite another time zone than the one given, with what would mend them. */
function zoneProblem(at: Coordinates, zone: string, found: string): string | null {
  const given = /^(?:UTC|GMT|Etc\/)/iu.test(zone) ? null : offsetHours(zone);
  if (given === null || away(at, given) <= TOO_FAR_HOURS) return null;
  const swapped = { latitude: at.longitude, longitude: at.latitude };
  const context = `they are not in ${zone}, ${found}`;
  if (isOnEarth(swapped) && away(swapped, given) <= NEAR_HOURS) {
    return `latitude and longitude look swapped: ${context}`;
  }
  if (away({ ...at, longitude: -at.longitude }, given) <= NEAR_HOURS) {
    return `longitude looks as if its sign were wrong (west is negative): ${context}`;
  }
  return null;
}

function isOnEarth({ latitude, longitude }: Coordinates): boolean {
  return Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180;
}

/** Hours between the zone of the point and an offset, the short way round the day. */
function away({ latitude, longitude }: Coordinates, offset: number): number {
  const own = offsetHours(tzLookup(latitude, longitude));
  if (own === null) return 0;
  const difference = Math.abs(own - offset);
  return Math.min(difference, 24 - difference);
}

function offsetHours(zone: string): number | null {
  try {
    const format = new Intl.DateTimeFormat('en-US', { timeZone: zone, timeZoneName: 'longOffset' });
    const name = format.formatToParts(WINTER).find((part) => part.type === 'timeZoneName')?.value ?? '';
    const match = /^GMT(?:([+-]\d{2}):(\d{2}))?$/u.exec(name);
    if (match === null) return null;
    const hours = Number(match[1] ?? 0);
    return hours + (Math.sign(hours) * Number(match[2] ?? 0)) / 60;
  } catch {
    return null;
  }
}
