/** Whether what is said was said already, and nothing has happened since that it would change. */
import type { UnitConfig } from '../config/config.ts';
import { isOfKey } from '../decision/telling.ts';
import { circuitState, type UnitWater } from '../model/water-state.ts';
import { canonicalJson } from '../store/json.ts';
import type { KeptAnswer, NewAnswer } from '../store/kept-answers.ts';
import type { UnitRecord } from '../store/store.ts';
import { detailsOf } from './answer-record.ts';
import { heldWater } from './held-water.ts';
import { circuitsIn, isIntent, type LinkUse, type MarkRequest } from './mark-request.ts';
import { markedWater } from './marked-water.ts';

interface Said {
  readonly request: MarkRequest;
  readonly link: LinkUse;
  readonly unit: UnitConfig;
  /** Null: nothing was ever written of the unit. */
  readonly current: UnitRecord | null;
}

/**
 * The last answer says the same, of the same episode, and would leave everything as it is. What was true a year ago, or
 * before the unit froze again, is news when it is said anew.
 *
 * @throws UsageError for what cannot be of the water that there is
 */
export function isRepeat(said: Said): boolean {
  const { request, link, current } = said;
  const last = current?.answers?.at(-1);
  if (current === null || current.damaged === true || last === undefined) return false;
  return saysTheSame(request, last) && isOfSameEpisode(link.episode, last.episode, current) && !changes(said);
}

function saysTheSame(request: MarkRequest, last: KeptAnswer): boolean {
  const stillHolds = last.endedAt === null && (last.until === null || last.until > request.now);
  if (last.person !== request.by || last.answer !== request.state || !stillHolds) return false;
  if (request.state === 'stop' && last.until !== request.until) return false;
  return same(last.details, detailsOf(request));
}

function same(a: NewAnswer['details'], b: NewAnswer['details']): boolean {
  const names = [...new Set([...Object.keys(a), ...Object.keys(b)])];
  return names.every((name) => JSON.stringify(a[name]) === JSON.stringify(b[name]));
}

function isOfSameEpisode(now: string, before: string | null, { memory: { episode } }: UnitRecord): boolean {
  if (before === null || now === before) return now === before;
  return episode !== null && isOfKey(now, episode.id) && isOfKey(before, episode.id);
}

function changes({ request, unit, current }: Said): boolean {
  if (isIntent(request.state)) return false;
  if (request.state === 'checked') return (current?.memory.suspectSince ?? null) !== null;
  const { water } = heldWater(unit, current, request.now);
  return whatHolds(unit, water) !== whatHolds(unit, markedWater(request, unit, current));
}

/** What is in every circuit and what keeps it warm, whenever and whoever said so. */
function whatHolds(unit: UnitConfig, water: UnitWater): string {
  const { keptWarm = false, keptWarmBy = null } = water;
  const circuits = circuitsIn(unit).map((circuit) => circuitState(water, circuit).state);
  return canonicalJson([water.all.state, circuits, keptWarm, keptWarmBy]);
}
