import type { Forecast } from '../../weather/forecast.ts';
import type { Obtained } from '../http/obtain.ts';
import type { ForecastSource, Point, SourceAnswer } from '../source.ts';
import { obtainEnsembles, type PlaceEnsembles } from './ensembles.ts';
import { obtainGround } from './ground.ts';
import type { OpenMeteoOptions } from './options.ts';
import { parseLocation, withLateSteps } from './parse.ts';
import { mostPoints, obtainPlaces, type Visit } from './places.ts';
import { openMeteoService } from './policy.ts';
import { forecastDays, forecastQuery, PAST_DAYS, serviceUrl, VARIABLES } from './request.ts';
import { splitLocations } from './split.ts';
import { callWeight } from './weight.ts';
import { withEnsembles } from './with-ensembles.ts';

/** Open-Meteo's forecasts and ensembles, or a service that answers like it, at `baseUrl` and `ensembleBaseUrl`. */
export function openMeteoSource(options: OpenMeteoOptions): ForecastSource {
  const service = openMeteoService(options);
  return {
    id: options.id,
    fetch: async (points, now, signal) => {
      const answers = new Map<string, SourceAnswer>();
      for (const group of groupsOf(points, options)) {
        const found = await fetchAll(group, options, { service, now, signal });
        found.forEach((answer, id) => answers.set(id, answer));
      }
      return answers;
    },
  };
}

/** A request has no word for one place's unknown height among known ones. */
function groupsOf(points: readonly Point[], { heights }: OpenMeteoOptions): readonly (readonly Point[])[] {
  if (heights !== 'of-place') return [points];
  const known = points.filter(({ elevationM }) => elevationM !== null);
  return [known, points.filter(({ elevationM }) => elevationM === null)].filter((group) => group.length > 0);
}

async function fetchAll(
  points: readonly Point[],
  options: OpenMeteoOptions,
  visit: Visit,
): Promise<ReadonlyMap<string, SourceAnswer>> {
  const singles = await obtainSingles(points, options, visit);
  const known = points.filter(({ id }) => singles.get(id)?.ok);
  const ofPlace = options.heights === 'of-place';
  const unlevelled = ofPlace ? [] : known.filter(({ elevationM }) => elevationM === null);
  const ground = await obtainGround(unlevelled, options, visit);
  const ensembles = await obtainEnsembles(known, options, visit);
  return new Map(
    points.map(({ id, elevationM }) => {
      const single = singles.get(id);
      if (single === undefined) throw new Error(`The place "${id}" was left without an answer.`);
      const more = { ground: ground.get(id), ensembles: ensembles.get(id), now: visit.now };
      if (!single.ok) return [id, { ok: false, error: single.error }];
      const value = options.steps === undefined ? single.value : withLateSteps(single.value, visit.now);
      const stepped = { ...single, value };
      return [id, ofPlace ? atHeight(elevationM, stepped, more) : joined(stepped, more)];
    }),
  );
}

function obtainSingles(
  points: readonly Point[],
  options: OpenMeteoOptions,
  visit: Visit,
): Promise<ReadonlyMap<string, Obtained<Forecast>>> {
  const { id, baseUrl, horizonHours } = options;
  const weight = callWeight(VARIABLES.length, PAST_DAYS + forecastDays(horizonHours));
  const ask = {
    url: (some: readonly Point[]) => serviceUrl(baseUrl, '/v1/forecast', forecastQuery(some, options)),
    weight,
    mostPoints: mostPoints(weight, options),
    isCurrent: ({ fresh }: { readonly fresh: boolean }) => fresh,
    split: splitLocations(id),
    read: (value: unknown, point: Point, fetchedAt: number) =>
      parseLocation(value, { source: id, point, now: visit.now, fetchedAt }),
  };
  return obtainPlaces<Forecast>(points, ask, visit);
}

/** The server has brought all temperatures to the height that it was given. */
function atHeight(elevationM: number | null, single: Single, more: More): SourceAnswer {
  const { gridElevationM: _of, ...value } = single.value;
  const answer = joined({ ...single, value }, more);
  if (!answer.ok || elevationM === null) return answer;
  return { ...answer, forecast: { ...answer.forecast, gridElevationM: elevationM } };
}

type Single = Extract<Obtained<Forecast>, { ok: true }>;

interface More {
  /** Undefined: the place's height is known without it. */
  readonly ground: Obtained<number> | undefined;
  readonly ensembles: PlaceEnsembles | undefined;
  readonly now: number;
}

function joined(single: Single, { ground, ensembles, now }: More): SourceAnswer {
  const base = ground?.ok ? { ...single.value, groundElevationM: ground.value } : single.value;
  const remarks = [
    ...single.remarks,
    ...(ground === undefined || ground.ok
      ? []
      : [`The height of the ground at the place could not be learned. ${ground.error.message}`]),
    ...(ensembles?.remarks ?? []),
  ];
  return {
    ok: true,
    forecast: withEnsembles(base, ensembles?.usable ?? [], now),
    ...(single.keptSince !== null && { keptSince: single.keptSince }),
    ...(remarks.length > 0 && { remarks }),
  };
}
