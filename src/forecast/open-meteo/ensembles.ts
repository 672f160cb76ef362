import { floorToHour, HOUR_S, isoSecond, type EpochSeconds } from '../../quantity/instant.ts';
import type { Obtained } from '../http/obtain.ts';
import type { OnShelf } from '../http/service.ts';
import type { Point } from '../source.ts';
import { parseEnsemble, type Ensemble } from './ensemble-parse.ts';
import { parseMeta, type ModelState } from './meta-parse.ts';
import type { OpenMeteoOptions } from './options.ts';
import { mostPoints, obtainPlaces, type PlacesAsk, type Visit } from './places.ts';
import { ensembleQuery, forecastDays, serviceUrl } from './request.ts';
import { siftMembers } from './sound-members.ts';
import { splitLocations } from './split.ts';
import { ensembleWeight } from './weight.ts';
import type { UsableEnsemble } from './with-ensembles.ts';

/** Where a model does not say how new it is, an answer is taken for current so long: most run four times a day. */
const BLIND_S = 6 * HOUR_S;

/** Servers of the service get a new run within this time of each other (its own documentation). */
const SPREAD_S = 600;

/** Of most global ensembles: the coarser guess where the model does not say. */
const USUAL_STEP_HOURS = 3;

/** What was found for one place, and what is to be said of it. */
export interface PlaceEnsembles {
  readonly usable: readonly UsableEnsemble[];
  readonly remarks: readonly string[];
}

/** Model after model, each for all the points: what cannot be used is left out, and said. */
export async function obtainEnsembles(
  points: readonly Point[],
  options: OpenMeteoOptions,
  visit: Visit,
): Promise<ReadonlyMap<string, PlaceEnsembles>> {
  const found = new Map<string, PlaceEnsembles>(points.map(({ id }) => [id, { usable: [], remarks: [] }]));
  for (const model of points.length === 0 ? [] : options.ensembles) {
    const state = await obtainState(model, options, visit);
    const asked = { model, state, now: visit.now, staleAfterHours: options.staleAfterHours };
    const stale = state === null ? null : staleness(state.availableAt, asked);
    const answers =
      stale === null
        ? await obtainPlaces(points, ensembleAsk(asked, options), visit)
        : new Map<string, never>();
    for (const { id } of points) {
      const before = found.get(id) ?? { usable: [], remarks: [] };
      const more = stale === null ? judge(answers.get(id), asked) : leftOut(model, stale);
      found.set(id, {
        usable: [...before.usable, ...more.usable],
        remarks: [...before.remarks, ...more.remarks],
      });
    }
  }
  return found;
}

interface Asked {
  readonly model: string;
  /** How new its data are; null: it does not say. */
  readonly state: ModelState | null;
  readonly now: EpochSeconds;
  readonly staleAfterHours: number;
}

async function obtainState(
  model: string,
  options: OpenMeteoOptions,
  { service, now, signal }: Visit,
): Promise<ModelState | null> {
  const url = serviceUrl(options.ensembleBaseUrl, `/data/${model}/static/meta.json`);
  // Once is enough: without it an answer is only asked for by the clock.
  const fetched = await service.ask({ url, tries: 1, now, signal });
  const state = fetched.ok ? parseMeta(fetched.value, now) : null;
  if (fetched.ok && state !== null) await fetched.keep();
  return state;
}

function ensembleAsk(asked: Asked, options: OpenMeteoOptions): PlacesAsk<Ensemble> {
  const { model, now } = asked;
  const { id, horizonHours } = options;
  const weight = ensembleWeight(model, forecastDays(horizonHours));
  return {
    url: (points) =>
      serviceUrl(options.ensembleBaseUrl, '/v1/ensemble', ensembleQuery(points, { model, horizonHours })),
    weight,
    mostPoints: mostPoints(weight, options),
    isCurrent: (held) => isCurrent(held, asked),
    split: splitLocations(id),
    read: (value, point, fetchedAt) => parseEnsemble(value, { source: id, point, now, fetchedAt }),
  };
}

/** Whether there is nothing newer to be had than what lies on the shelf. */
function isCurrent({ fetchedAt }: OnShelf, { state, now }: Asked): boolean {
  if (fetchedAt > now) return false;
  if (state === null) return now - fetchedAt < BLIND_S;
  const everywhere = state.availableAt + SPREAD_S;
  return fetchedAt >= everywhere || now < everywhere;
}

function staleness(availableAt: EpochSeconds, { now, staleAfterHours }: Asked): string | null {
  if (now - availableAt <= staleAfterHours * HOUR_S) return null;
  return `Its last run is of ${isoSecond(availableAt)}, more than ${staleAfterHours} hours ago.`;
}

function leftOut(model: string, why: string): PlaceEnsembles {
  return { usable: [], remarks: [`The ensemble "${model}" is left out. ${why}`] };
}

function judge(answer: Obtained<Ensemble> | undefined, asked: Asked): PlaceEnsembles {
  const { model, state, now } = asked;
  if (answer === undefined) throw new Error(`No answer of the ensemble "${model}".`);
  if (!answer.ok) return leftOut(model, answer.error.message);
  const availableAt = state === null ? null : Math.min(state.availableAt, answer.fetchedAt);
  const stale = staleness(availableAt ?? answer.fetchedAt, asked);
  if (stale !== null) return leftOut(model, stale);
  const ensemble = answer.value;
  const present = (floorToHour(now) - ensemble.firstHour) / HOUR_S;
  const { sound, unknown, still } = siftMembers(ensemble.members, Math.max(0, present));
  if (sound.length < 2) return leftOut(model, 'None of its members says anything that can be believed.');
  const { firstHour, gridElevationM } = ensemble;
  const stepHours = state?.stepHours ?? USUAL_STEP_HOURS;
  const kept = answer.keptSince === null ? [] : [keptRemark(model, answer)];
  return {
    usable: [{ model, firstHour, gridElevationM, stepHours, availableAt, members: sound }],
    remarks: [
      ...kept,
      ...answer.remarks,
      ...memberRemark(model, unknown, 'knows no temperature'),
      ...memberRemark(model, still, 'has stood still for two days while the others move'),
    ],
  };
}

function keptRemark(model: string, answer: Extract<Obtained<Ensemble>, { ok: true }>): string {
  return `The ensemble "${model}" is the one of ${isoSecond(answer.fetchedAt)}. ${answer.keptSince?.message ?? ''}`;
}

function memberRemark(model: string, members: readonly number[], why: string): readonly string[] {
  return members.map((number) => `Member ${number} of the ensemble "${model}" is left out: it ${why}.`);
}
