/** Who hears a thing, given what they asked for: silence for a while, or no reminders while they are on the way. */
import type { EpochSeconds } from '../quantity/instant.ts';
import { isStronger, type Action } from './advice.ts';
import type { Contact } from './finding.ts';
import type { Memory, MessageKind } from './memory.ts';

type Silence = NonNullable<Memory['silences']>[number];

/** What asks for work. */
export const WORK_KINDS: readonly MessageKind[] = ['act', 'worse', 'last-call', 'late'];
/** What asks again for work that was asked for. */
const REMINDERS: readonly MessageKind[] = ['last-call', 'late'];

export interface Hearing {
  readonly kind: MessageKind;
  readonly action: Action;
  readonly now: EpochSeconds;
  readonly memory: Memory;
}

/**
 * That it may have frozen is heard by everyone: it is not what they asked to be spared. So is more work than they knew
 * of when they asked, since they said no to less.
 */
export function hears(contact: Contact, { kind, action, now, memory }: Hearing): boolean {
  if (kind === 'frozen') return true;
  const isWork = WORK_KINDS.includes(kind);
  if (isSilent(contact, now)) return isWork && isStronger(action, knownTo(contact, memory));
  if (!isOnTheWay(contact, now) || !REMINDERS.includes(kind)) return true;
  return isStronger(action, toldTo(contact, memory));
}

function isSilent({ silentUntil }: Contact, now: EpochSeconds): boolean {
  return silentUntil !== undefined && now < silentUntil;
}

function isOnTheWay({ onTheWayUntil }: Contact, now: EpochSeconds): boolean {
  return onTheWayUntil !== undefined && now < onTheWayUntil;
}

/** What they knew of when they asked for silence, or were told in spite of it. */
function knownTo(contact: Contact, memory: Memory): Action {
  const known = memory.silences?.find((s) => isOf(s, contact))?.action ?? 'nothing';
  const told = toldTo(contact, memory);
  return isStronger(told, known) ? told : known;
}

/** The most work that they were told of and that was not called over since. */
function toldTo({ person }: Contact, { told }: Memory): Action {
  return told
    .filter((t) => WORK_KINDS.includes(t.kind) && (t.to?.includes(person) ?? true))
    .reduce<Action>((most, t) => (isStronger(t.action, most) ? t.action : most), 'nothing');
}

/** An all-clear forgets what was told; what a silence began with is kept until it ends. */
export function withSilences(memory: Memory, contacts: readonly Contact[], now: EpochSeconds): Memory {
  const { silences: _before, ...rest } = memory;
  const silences = contacts.flatMap((contact) => {
    const { person, silentUntil } = contact;
    if (silentUntil === undefined || !isSilent(contact, now)) return [];
    return [{ person, until: silentUntil, action: knownTo(contact, memory) }];
  });
  return silences.length === 0 ? rest : { ...rest, silences };
}

/** A silence that was asked for anew begins with what is known then. */
function isOf({ person, until }: Silence, contact: Contact): boolean {
  return person === contact.person && until === contact.silentUntil;
}
