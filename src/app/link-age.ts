/** Whether the link of a message still speaks of what is at hand. */
import { blindKey, isOfKey } from '../decision/telling.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';
import { isIntent, type MarkState } from './mark-request.ts';

export interface LinkSituation {
  /** Null: nothing was ever written of the unit. */
  readonly current: Pick<UnitRecord, 'unit' | 'memory' | 'answers' | 'damaged'> | null;
  /** What it says of the unit. */
  readonly state: MarkState;
  readonly by: string | null;
  readonly now: EpochSeconds;
}

/** A link as its message was sent. */
export interface SentLink {
  /** Under which the message was told: an episode's id or another key, or that and more after a full stop. */
  readonly episode: string;
  readonly issued: EpochSeconds;
}

/** One's own last word can be put right for so long, though it has ended the episode. */
const CORRECTED_S = DAY_S;
/** So long after a water service has ended it can still be said who goes there, and who does not. */
const SERVICE_ENDED_S = DAY_S;

export function isOld(link: SentLink, { current, state, by, now }: LinkSituation): boolean {
  // What cannot be read says of no link that it is of this episode.
  if (current === null || current.damaged === true) return true;
  const { episode: running } = current.memory;
  const isOpen = running !== null && running.over !== true;
  if (isOpen && isOfKey(link.episode, running.id)) return false;
  if (isOfBlindness(link, { current, state, isOpen })) return false;
  if (isOfService(link, current, now) || isOfSuspicion(link, current, state)) return false;
  if (running !== null && !isOfKey(link.episode, running.id)) return true;
  const last = current.answers?.findLast(({ answer }) => !isIntent(answer as MarkState));
  if (last === undefined || last.person !== by || last.episode !== link.episode) return true;
  return now - last.recordedAt > CORRECTED_S;
}

type Current = NonNullable<LinkSituation['current']>;

interface Unseen {
  readonly current: Current;
  readonly state: MarkState;
  readonly isOpen: boolean;
}

/** Under the key of a lost forecast it is also told that there is one again, and what that one asks for. */
function isOfBlindness({ episode }: SentLink, { current, state, isOpen }: Unseen): boolean {
  const { blindSince, episode: running, told } = current.memory;
  if (blindSince !== null && isOfKey(episode, blindKey(current.unit, blindSince))) return true;
  // Without an episode nothing is asked for, and what was told is who is to be told more.
  if (!isOpen && (running !== null || !isIntent(state))) return false;
  return told.some(({ kind, key }) => kind === 'no-forecast' && key !== undefined && isOfKey(episode, key));
}

/** The end of a water service is no episode, and is told beside one. */
function isOfService({ episode }: SentLink, { memory }: Current, now: EpochSeconds): boolean {
  return (memory.service ?? []).some(
    ({ key, shutAt, seenAt }) => isOfKey(episode, key) && now - Math.max(shutAt, seenAt) < SERVICE_ENDED_S,
  );
}

/**
 * What was sent since it may have frozen speaks of that, whatever was done to the water meanwhile: that somebody has
 * looked, and who goes there. What was done is another matter.
 */
function isOfSuspicion({ issued }: SentLink, { memory }: Current, state: MarkState): boolean {
  const { suspectSince } = memory;
  return suspectSince !== null && issued >= suspectSince && (state === 'checked' || isIntent(state));
}
