/**
 * What was told, still holds, and is offered to the outbox in every round. There it reaches those who have not
 * got it: a contact added since, a channel or an address that changed, a message that was refused or lost.
 */
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Action } from './advice.ts';
import type { Contact } from './finding.ts';
import { WORK_KINDS, hears } from './hearing.ts';
import type { AddressedNotice, Memory, MessageKind, Said } from './memory.ts';
import { noticeOf } from './notice.ts';
import { covers } from './telling.ts';

export interface StandingOf {
  readonly unit: string;
  /** After what this round said. */
  readonly memory: Memory;
  /** Of the work in force; null: there is none. */
  readonly work: {
    readonly action: Action;
    readonly startBy: EpochSeconds | null;
    /** By this forecast nothing calls for it: nobody hears of it anew. */
    readonly uncalled?: boolean;
  } | null;
  readonly contacts: readonly Contact[];
  readonly now: EpochSeconds;
  readonly deadlineAt: EpochSeconds | null;
}

export function standing(of: StandingOf): AddressedNotice[] {
  const { suspectSince, blindSince } = of.memory;
  return [
    ...standingWork(of),
    ...(suspectSince === null ? [] : repeated(of, 'frozen', -Infinity)),
    ...(blindSince === null ? [] : repeated(of, 'no-forecast', blindSince)),
  ];
}

/** The last notice of a kind, to everyone who hears it. */
function repeated(of: StandingOf, kind: MessageKind, since: EpochSeconds): AddressedNotice[] {
  const said = of.memory.told.findLast((t) => t.kind === kind && t.at >= since);
  if (said === undefined) return [];
  const to = listening(of, kind, said.action);
  return to.length === 0 ? [] : [again(of, said, { kind, episode: keyOf(of, said), to })];
}

/** Those who were told hear it as it was told; those who were not, as what it is to them: the first they hear. */
function standingWork(of: StandingOf): AddressedNotice[] {
  const { work, now } = of;
  const said = of.memory.told.findLast((t) => WORK_KINDS.includes(t.kind));
  if (work === null || said === undefined) return [];
  const isTold = (person: string): boolean => said.to?.includes(person) ?? true;
  // Relaxed advice is not told, so what was told stands; a time to start by moves by less than is told.
  const same = said.action === work.action ? { ...said, startBy: work.startBy ?? said.startBy } : said;
  const key = keyOf(of, said);
  const isLate = isStillLate(said, work.startBy, now);
  const kind = isLate ? 'late' : 'act';
  const told = listening(of, said.kind, same.action).filter(isTold);
  // Whoever was spared a reminder while on the way is not reminded in other words.
  const reminded = listening(of, said.kind, work.action);
  const untold = listening(of, kind, work.action).filter(
    (person) => work.uncalled !== true && !isTold(person) && reminded.includes(person),
  );
  return [
    ...(isPast(same, now) || (said.kind === 'late' && !isLate)
      ? []
      : [again(of, same, { kind: said.kind, episode: key, to: told })]),
    again(of, work, { kind, episode: `${key}.${said.kind}`, to: untold }),
  ].filter(({ to }) => to.length > 0);
}

/** What was late has time again when it is asked for another cold; a time that moved by little is the same news. */
function isStillLate(said: Said, startBy: EpochSeconds | null, now: EpochSeconds): boolean {
  if (startBy !== null && startBy < now) return true;
  return said.kind === 'late' && covers(said, startBy);
}

/** Ids of those who hear it now. */
function listening({ contacts, now, memory }: StandingOf, kind: MessageKind, action: Action): string[] {
  return contacts.filter((c) => hears(c, { kind, action, now, memory })).map((c) => c.person);
}

/** It asks for a start at a time that has gone by. */
function isPast({ kind, startBy }: Said, now: EpochSeconds): boolean {
  return kind !== 'late' && startBy !== null && startBy < now;
}

/** What was told without a key was told under its episode; the loss of a forecast may have none. */
function keyOf({ memory, unit }: StandingOf, { key }: Said): string {
  return key ?? memory.episode?.id ?? unit;
}

function again(
  { now, deadlineAt }: StandingOf,
  { action, startBy }: Pick<Said, 'action' | 'startBy'>,
  { to, kind, episode }: Pick<AddressedNotice, 'to' | 'kind' | 'episode'>,
): AddressedNotice {
  return { ...noticeOf(kind, { episode, action, startBy, now, deadlineAt, previous: null }), to };
}
