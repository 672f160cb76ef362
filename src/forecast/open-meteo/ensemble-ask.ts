import { SourceError } from '../../errors.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../../quantity/instant.ts';
import type { OnShelf } from '../http/service.ts';
import { parseEnsemble, type Ensemble } from './ensemble-parse.ts';
import type { ModelState } from './meta-parse.ts';
import type { OpenMeteoOptions } from './options.ts';
import { mostPoints, type Before, type PlacesAsk } from './places.ts';
import { ensembleQuery, forecastDays, serviceUrl } from './request.ts';
import { splitLocations } from './split.ts';
import { ensembleWeight } from './weight.ts';

/** Where a model does not say how new it is, an answer is taken for current so long: most run four times a day. */
const BLIND_S = 6 * HOUR_S;

/** What is left of an allowance belongs to the single forecasts of the hours to come: without them all is old. */
const SHARE = 0.75;

/** Servers get a new run within this time of each other: https://open-meteo.com/en/docs/model-updates */
const SPREAD_S = 600;

/** A new run differs somewhere in so many hours, in a tenth of a degree of one of its members. */
const ALIKE_HOURS = 48;

export interface AskedModel {
  readonly model: string;
  /** How new its data are; null: it does not say. */
  readonly state: ModelState | null;
  readonly now: EpochSeconds;
}

export function askEnsemble(asked: AskedModel, options: OpenMeteoOptions): PlacesAsk<Ensemble> {
  const { model, now, state } = asked;
  const { id: source, horizonHours } = options;
  const weight = ensembleWeight(model, forecastDays(horizonHours));
  return {
    url: (points) =>
      serviceUrl(options.ensembleBaseUrl, '/v1/ensemble', ensembleQuery(points, { ...options, model })),
    weight,
    share: SHARE,
    mostPoints: mostPoints(weight, options),
    isCurrent: (held) => isCurrent(held, asked),
    split: splitLocations(source),
    read: (value, point, fetchedAt) => parseEnsemble(value, { source, point, now, fetchedAt }),
    stuck: (before, after) =>
      state !== null && before.fetchedAt < state.availableAt && alike(before.value, after, now)
        ? stuckError(source, before)
        : null,
  };
}

/** Whether there is nothing newer to be had than what lies on the shelf. */
function isCurrent({ fetchedAt }: OnShelf, { state, now }: AskedModel): boolean {
  if (fetchedAt > now) return false;
  if (state === null) return now - fetchedAt < BLIND_S;
  const everywhere = state.availableAt + SPREAD_S;
  return fetchedAt >= everywhere || now < everywhere;
}

/** A place can be served an old run for days while the model as a whole goes on (the service's issue 2057). */
function alike(before: Ensemble, after: Ensemble, now: EpochSeconds): boolean {
  const lag = (after.firstHour - before.firstHour) / HOUR_S;
  const from = Math.max(0, Math.ceil((now - after.firstHour) / HOUR_S));
  let compared = 0;
  for (const { number, temperatureC } of after.members) {
    const old = before.members.find((member) => member.number === number)?.temperatureC ?? [];
    for (let hour = from; hour < from + ALIKE_HOURS; hour += 1) {
      const [was = Number.NaN, is = Number.NaN] = [old[hour + lag], temperatureC[hour]];
      if (was !== is && !Number.isNaN(was) && !Number.isNaN(is)) return false;
      if (was === is) compared += 1;
    }
  }
  return compared >= ALIKE_HOURS;
}

function stuckError(source: string, { fetchedAt }: Before<Ensemble>): SourceError {
  const text = `The source "${source}" answers the same as at ${isoSecond(fetchedAt)}, though it names a newer run.`;
  return new SourceError('forecast-stale', text, { retryable: true });
}
