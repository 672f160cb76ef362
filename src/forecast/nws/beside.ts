/** What is asked for beside the forecast. None of it can stand in the forecast's way. */
import { SourceError } from '../../errors.ts';
import { isoSecond } from '../../quantity/instant.ts';
import type { Alert } from '../../weather/alert.ts';
import type { Forecast } from '../../weather/forecast.ts';
import type { Observation } from '../../weather/reading.ts';
import type { Read } from '../http/obtain.ts';
import type { Point } from '../source.ts';
import { parseAlerts } from './alerts-parse.ts';
import { coordinates, type Cell } from './cell.ts';
import { comparison, parseHourly } from './hourly-parse.ts';
import { parseObservations, parseStations, type Station } from './observation-parse.ts';
import { FRESH_S } from './policy.ts';
import { wish, type Visit } from './visit.ts';

/** Stations that are asked until one has an air temperature. */
const MOST_STATIONS = 5;
/** Every five minutes for 75: at airports only the hourly report among them has a temperature. */
const OBSERVATIONS = 15;

/** What is to be said of the hourly forecast, which is made from the same grid; null: it agrees. */
export async function hourlyRemark(forecast: Forecast, cell: Cell, visit: Visit): Promise<string | null> {
  const path = `gridpoints/${cell}/forecast/hourly`;
  const read = (value: unknown): Read<ReadonlyMap<number, number>> =>
    readAs(parseHourly(value), 'an hourly forecast', visit);
  const found = await wish({ path, leastFreshS: FRESH_S.forecast, tries: 2, read }, visit);
  const error = found.ok ? found.keptSince : found.error;
  if (!found.ok || error !== null) {
    return `Its grid was not compared with its hourly forecast, which cannot be had: ${error?.message}`;
  }
  return comparison(forecast, found.value, visit.now);
}

/** Official warnings of cold at the point; absent: they could not be had, which a remark says. */
export async function warningsAt(
  point: Point,
  visit: Visit,
): Promise<{ readonly alerts?: readonly Alert[]; readonly remarks: readonly string[] }> {
  const path = `alerts/active?point=${coordinates(point)}&status=actual`;
  const found = await wish(
    {
      path,
      leastFreshS: FRESH_S.alerts,
      read: (value) => readAs(parseAlerts(value, visit.now), 'official warnings', visit),
    },
    visit,
  );
  if (!found.ok) {
    return {
      remarks: [`Whether official warnings of cold are in force is not known: ${found.error.message}`],
    };
  }
  const { alerts, unread } = found.value;
  const remarks: string[] = [];
  if (found.keptSince !== null) {
    remarks.push(`Official warnings are those of ${isoSecond(found.fetchedAt)}: ${found.keptSince.message}`);
  }
  if (unread > 0) {
    const what = unread === 1 ? '1 official warning' : `${unread} official warnings`;
    remarks.push(`${what} could not be read and may be of cold.`);
  }
  return { alerts, remarks };
}

/** The latest air temperature of the nearest station that has one; null: none of the nearest has. */
export async function observationNear(point: Point, cell: Cell, visit: Visit): Promise<Observation | null> {
  const stations = await wish(
    {
      path: `gridpoints/${cell}/stations`,
      leastFreshS: FRESH_S.cell,
      tries: 2,
      read: (value) => readAs(parseStations(value, point), 'stations', visit),
    },
    visit,
  );
  if (!stations.ok) return null;
  for (const station of stations.value.slice(0, MOST_STATIONS)) {
    const observation = await latestOf(station, visit);
    if (observation !== null) return observation;
  }
  return null;
}

async function latestOf(station: Station, visit: Visit): Promise<Observation | null> {
  const found = await wish(
    {
      path: `stations/${station.id}/observations?limit=${OBSERVATIONS}`,
      leastFreshS: FRESH_S.observations,
      // The next station is the second try.
      tries: 1,
      read: (value) => ({ ok: true, value: parseObservations(value, station, visit.now) }),
    },
    visit,
  );
  return found.ok ? found.value : null;
}

function readAs<T>(value: T | null, what: string, { options }: Visit): Read<T> {
  if (value !== null) return { ok: true, value };
  const text = `The source "${options.id}" answered in the shape of something else than ${what}.`;
  return { ok: false, error: new SourceError('source-body', text, { retryable: true }) };
}
