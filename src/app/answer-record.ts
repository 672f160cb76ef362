/** What is kept of an answer beside what it makes of the water. */
import type { UnitConfig } from '../config/config.ts';
import { workMinutes } from '../decision/policy.ts';
import type { UnitWater } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { NewAnswer } from '../store/kept-answers.ts';
import type { UnitRecord } from '../store/store.ts';
import type { MarkRequest } from './mark-request.ts';

export function newAnswer(request: MarkRequest, unit: UnitConfig, current: UnitRecord | null): NewAnswer {
  const { at, now, by, state, link } = request;
  return {
    unit: unit.id,
    person: by,
    answer: state,
    at,
    recordedAt: now,
    until: untilOf(request, unit, current),
    basis: request.basis ?? 'said',
    via: link === undefined ? 'command' : 'link',
    episode: link?.episode ?? current?.memory.episode?.id ?? null,
    link: link?.press ?? null,
    details: detailsOf(request),
  };
}

/** What keeps people waiting beyond travel and work: a key to fetch, a stuck cap. Engineering estimate. */
const SLACK_S = HOUR_S;

/** Whoever is on the way gets there, does what is advised, and says so. */
function untilOf(
  { state, until, at }: MarkRequest,
  { work }: UnitConfig,
  current: UnitRecord | null,
): EpochSeconds | null {
  if (until !== undefined || state !== 'on-my-way') return until ?? null;
  const advised = current?.memory.advice?.action ?? 'nothing';
  const action = advised === 'nothing' ? 'drain' : advised;
  return at + (workMinutes(work, action) + work.travelMinutes) * 60 + SLACK_S;
}

export function detailsOf(request: MarkRequest): NewAnswer['details'] {
  const { circuits, method, quality, concentrationPercent, fluid, traps, withoutColour, usedLitres } =
    request;
  const given = {
    circuits: circuits.length === 0 ? null : circuits,
    method,
    quality,
    concentrationPercent,
    fluid,
    traps,
    withoutColour: withoutColour?.length === 0 ? null : withoutColour,
    usedLitres,
  };
  return Object.fromEntries(
    Object.entries(given).filter(([, value]) => value !== null && value !== undefined),
  );
}

interface AsIs {
  readonly record: Pick<UnitRecord, 'answers'>;
  /** What holds. */
  readonly water: UnitWater;
}

/** Somebody said that it was winterized, and nobody how: air only is taken, until they do. */
export function asksHow({ record, water }: AsIs): boolean {
  const last = record.answers?.findLast(({ answer }) => answer === 'winterized');
  if (last === undefined || water.all.state.kind !== 'blown' || water.all.since !== last.at) return false;
  const { method, circuits } = last.details;
  return method === undefined && circuits === undefined;
}
