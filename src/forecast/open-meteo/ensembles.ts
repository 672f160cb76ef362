import { floorToHour, HOUR_S, isoSecond } from '../../quantity/instant.ts';
import type { Obtained } from '../http/obtain.ts';
import type { Point } from '../source.ts';
import { askEnsemble, type AskedModel } from './ensemble-ask.ts';
import type { Ensemble } from './ensemble-parse.ts';
import { parseMeta, type ModelState } from './meta-parse.ts';
import type { OpenMeteoOptions } from './options.ts';
import { obtainPlaces, type Visit } from './places.ts';
import { serviceUrl } from './request.ts';
import { siftMembers, type Sifted } from './sound-members.ts';
import type { UsableEnsemble } from './with-ensembles.ts';

/** Of most global ensembles: taken where the model does not say. */
const USUAL_STEP_HOURS = 3;

/** What was found for one place, and what is to be said of it. */
export interface PlaceEnsembles {
  readonly usable: readonly UsableEnsemble[];
  readonly remarks: readonly string[];
}

const NOTHING: PlaceEnsembles = { usable: [], remarks: [] };

/** Model after model, each for all the points: what cannot be used is left out, and said. */
export async function obtainEnsembles(
  points: readonly Point[],
  options: OpenMeteoOptions,
  visit: Visit,
): Promise<ReadonlyMap<string, PlaceEnsembles>> {
  const found = new Map(points.map(({ id }) => [id, NOTHING]));
  for (const model of points.length === 0 ? [] : options.ensembles) {
    const asked = { model, state: await obtainState(model, options, visit), now: visit.now };
    const more = await obtainModel(points, { asked, options }, visit);
    for (const [id, { usable, remarks }] of found) {
      const next = more.get(id) ?? NOTHING;
      found.set(id, { usable: [...usable, ...next.usable], remarks: [...remarks, ...next.remarks] });
    }
  }
  return found;
}

async function obtainState(
  model: string,
  options: OpenMeteoOptions,
  { service, now, signal }: Visit,
): Promise<ModelState | null> {
  const url = serviceUrl(options.ensembleBaseUrl, `/data/${model}/static/meta.json`);
  // Once is enough: without it the answer on the shelf is judged by the clock. The service does not count it.
  const fetched = await service.ask({ url, weight: 0, tries: 1, now, signal });
  const state = fetched.ok ? parseMeta(fetched.value, now) : null;
  if (fetched.ok && state !== null) await fetched.keep();
  return state;
}

interface Question {
  readonly asked: AskedModel;
  readonly options: OpenMeteoOptions;
}

async function obtainModel(
  points: readonly Point[],
  { asked, options }: Question,
  visit: Visit,
): Promise<ReadonlyMap<string, PlaceEnsembles>> {
  const old = asked.state === null ? null : staleness(asked.state.availableAt, { asked, options });
  if (old !== null) return new Map(points.map(({ id }) => [id, leftOut(asked, old)]));
  const answers = await obtainPlaces(points, askEnsemble(asked, options), visit);
  return new Map([...answers].map(([id, answer]) => [id, judge(answer, { asked, options })]));
}

function staleness(availableAt: number, { asked, options: { staleAfterHours } }: Question): string | null {
  if (asked.now - availableAt <= staleAfterHours * HOUR_S) return null;
  return `Its last run is of ${isoSecond(availableAt)}, more than ${staleAfterHours} hours ago.`;
}

function leftOut({ model }: AskedModel, why: string): PlaceEnsembles {
  return { usable: [], remarks: [`The ensemble "${model}" is left out. ${why}`] };
}

function judge(answer: Obtained<Ensemble>, question: Question): PlaceEnsembles {
  const { model, state, now } = question.asked;
  if (!answer.ok) return leftOut(question.asked, answer.error.message);
  const availableAt = state === null ? null : Math.min(state.availableAt, answer.fetchedAt);
  const old = staleness(availableAt ?? answer.fetchedAt, question);
  if (old !== null) return leftOut(question.asked, old);
  const { firstHour, gridElevationM, members } = answer.value;
  const sifted = siftMembers(members, Math.max(0, (floorToHour(now) - firstHour) / HOUR_S));
  if (sifted.sound.length < 2) {
    return leftOut(question.asked, 'None of its members says anything that can be believed.');
  }
  const stepHours = state?.stepHours ?? USUAL_STEP_HOURS;
  return {
    usable: [{ model, firstHour, gridElevationM, stepHours, availableAt, members: sifted.sound }],
    remarks: [...ageRemarks(answer, question.asked), ...answer.remarks, ...memberRemarks(model, sifted)],
  };
}

function ageRemarks(
  { keptSince, fetchedAt }: Extract<Obtained<Ensemble>, { ok: true }>,
  { model, state }: AskedModel,
): readonly string[] {
  const of = `The ensemble "${model}" is the one answered at ${isoSecond(fetchedAt)}`;
  if (keptSince !== null) return [`${of}. ${keptSince.message}`];
  return state === null ? [`${of}; how new its run is, the service does not say.`] : [];
}

function memberRemarks(model: string, { unknown, still, behind }: Sifted): readonly string[] {
  const said = (members: readonly number[], why: string): readonly string[] =>
    members.map((number) => `Member ${number} of the ensemble "${model}" is left out: it ${why}.`);
  return [
    ...said(unknown, 'knows no temperature'),
    ...said(still, 'stands still for two days while the others move'),
    ...said(behind, 'ends a day or more before the others, as an older run does'),
  ];
}
