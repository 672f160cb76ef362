/** Who was to be told of a unit and was not: told to those who look after its place, logged, and answered by `check`. */
import type { Config, UnitConfig } from '../config/config.ts';
import type { AddressedNotice, Memory, MessageKind } from '../decision/memory.ts';
import { noticeOf } from '../decision/notice.ts';
import { isOfKey } from '../decision/telling.ts';
import type { Unreached } from '../message/message.ts';
import type { Log } from '../outbox/log.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { UnreachedPerson } from '../store/store.ts';
import type { Troubles } from './trouble.ts';

/** Of these nobody else needs to hear: nothing is lost by not knowing. */
const CALM: readonly string[] = ['all-clear', 'fill-again', 'unreached', 'test'];

/** These hold beyond the episode that they were said in. */
const LASTING: readonly string[] = ['frozen', 'no-forecast', 'fill-by', 'dump-by'];

/** A notice to the managers of a place, and whom it is about. */
export interface UnreachedNotice extends AddressedNotice {
  readonly about: Unreached;
}

export interface UnreachedOf {
  readonly config: Config;
  readonly unit: UnitConfig;
  /** After what this round says. */
  readonly memory: Memory;
  readonly unreached: readonly UnreachedPerson[];
  readonly now: EpochSeconds;
}

/** Once for each person and episode, and once for what was only announced. What a manager missed is for `check` and the log. */
export function unreachedNotices({ config, unit, memory, unreached, now }: UnreachedOf): UnreachedNotice[] {
  const managers = config.places.find(({ id }) => id === unit.place)?.managers ?? [];
  return unreached
    .filter((lost) => lost.unit === unit.id && !lost.manager && !CALM.includes(lost.kind))
    .flatMap((lost): UnreachedNotice[] => {
      const to = managers.filter((id) => id !== lost.person);
      const episode = episodeOf(lost, memory);
      const name = config.people.find(({ id }) => id === lost.person)?.name;
      if (to.length === 0 || episode === null || name === undefined) return [];
      // Of a heads-up by itself: it takes nothing of the call that may follow it.
      const of = lost.kind === 'heads-up' ? '.ahead' : '';
      const key = `${episode}.unreached${of}.${lost.person}`;
      if (memory.told.some((t) => t.kind === 'unreached' && t.key === key)) return [];
      const { action } = lost;
      const startBy = memory.advice?.action === action ? memory.advice.startBy : null;
      const notice = noticeOf('unreached', {
        episode: key,
        action,
        startBy,
        now,
        deadlineAt: null,
        previous: null,
      });
      const about = { person: lost.person, name, kind: lost.kind as MessageKind, error: lost.error };
      return [{ ...notice, to, about }];
    });
}

/** Null: what was to be told is over. */
function episodeOf({ episode, kind }: UnreachedPerson, memory: Memory): string | null {
  const running = memory.episode?.id;
  if (running !== undefined && isOfKey(episode, running)) return running;
  return LASTING.includes(kind) ? episode : null;
}

export function remembered(memory: Memory, notices: readonly UnreachedNotice[], at: EpochSeconds): Memory {
  if (notices.length === 0) return memory;
  const told = notices.map(({ kind, action, startBy, episode, to }) => ({
    kind,
    action,
    startBy,
    key: episode,
    to,
    at,
  }));
  return { ...memory, told: [...memory.told, ...told] };
}

/** Of each person once, until it is about other units. */
export function logUnreached(log: Log, unreached: readonly UnreachedPerson[], before: Troubles): Troubles {
  const now = new Map<string, string>();
  for (const person of new Set(unreached.map((one) => one.person))) {
    const lost = unreached.filter((one) => one.person === person);
    const units = lost.map(({ unit }) => unit);
    const key = `person ${person}`;
    now.set(key, units.join(' '));
    if (before.get(key) === units.join(' ')) continue;
    const last = lost.toSorted((a, b) => b.at - a.at)[0];
    const fields = { person, units, kind: last?.kind, at: isoSecond(last?.at ?? 0), error: last?.error };
    log.error(fields, 'Nothing has reached this person. Tell them another way.');
  }
  return now;
}

/** Only of units that the config still knows. */
export function ofUnits<T extends { readonly unit: string }>(
  config: Config,
  all: readonly T[],
): readonly T[] {
  const known = new Set(config.units.map(({ id }) => id));
  return all.filter(({ unit }) => known.has(unit));
}
