import { DAY_S } from '../../quantity/instant.ts';
import { heightM, refusal } from './answer-parse.ts';
import type { Obtained } from '../http/obtain.ts';
import type { Point } from '../source.ts';
import type { OpenMeteoOptions } from './options.ts';
import { mostPoints, obtainPlaces, type Visit } from './places.ts';
import { elevationQuery, serviceUrl } from './request.ts';
import { splitElevations } from './split.ts';

/** The ground does not move; the model of it is renewed at times. */
const GROUND_FRESH_S = 90 * DAY_S;

/** Height of the ground at each point [m], from the service's terrain of 90 m. */
export function obtainGround(
  points: readonly Point[],
  options: OpenMeteoOptions,
  visit: Visit,
): Promise<ReadonlyMap<string, Obtained<number>>> {
  const { id, baseUrl } = options;
  return obtainPlaces<number>(
    points,
    {
      url: (some) => serviceUrl(baseUrl, '/v1/elevation', elevationQuery(some)),
      weight: 1,
      mostPoints: mostPoints(1, options),
      leastFreshS: GROUND_FRESH_S,
      isCurrent: ({ fresh }) => fresh,
      split: splitElevations(id),
      read: (value, point) => {
        const height = typeof value === 'number' ? heightM(value) : null;
        if (height !== null) return { ok: true, value: height };
        return { ok: false, error: refusal('source-body', { source: id, point }, 'knows no height') };
      },
    },
    visit,
  );
}
