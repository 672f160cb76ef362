/** Whether the link of a message still speaks of what is at hand. */
import { blindKey } from '../decision/telling.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';
import { isIntent, type MarkState } from './mark-request.ts';

export interface LinkSituation {
  /** Null: nothing was ever written of the unit. */
  readonly current: Pick<UnitRecord, 'unit' | 'memory' | 'answers' | 'damaged'> | null;
  readonly by: string | null;
  readonly now: EpochSeconds;
}

/** One's own last word can be put right for so long, though it has ended the episode. */
const CORRECTED_S = DAY_S;

/**
 * @param episode - under which the message was told: an episode's id, or that and more after a full stop
 */
export function isOld(episode: string, { current, by, now }: LinkSituation): boolean {
  // What cannot be read says of no link that it is of this episode.
  if (current === null || current.damaged === true) return true;
  const { episode: running, blindSince } = current.memory;
  if (running !== null && running.over !== true && belongs(episode, running.id)) return false;
  if (blindSince !== null && episode === blindKey(current.unit, blindSince)) return false;
  if (running !== null && !belongs(episode, running.id)) return true;
  const last = current.answers?.findLast(({ answer }) => !isIntent(answer as MarkState));
  if (last === undefined || last.person !== by || last.episode !== episode) return true;
  return now - last.recordedAt > CORRECTED_S;
}

/** Whether what was told under a key was told in the episode. */
export function belongs(episode: string, id: string): boolean {
  return episode === id || episode.startsWith(`${id}.`);
}
