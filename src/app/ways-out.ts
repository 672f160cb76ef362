/** From a message to a person to the rows of the outbox: by which ways, in which order, and from when. */
import type { PersonConfig } from '../config/config.ts';
import { endOfQuiet } from '../decision/quiet-hours.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { patienceEnds } from '../outbox/schedule.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry } from '../store/store.ts';

export interface Addressed {
  readonly episode: string;
  readonly message: OutgoingMessage;
  readonly useBefore: EpochSeconds;
  /** It may wait for the end of the reader's quiet hours. */
  readonly canWait: boolean;
  /** It may go out in one message with others to the same person. */
  readonly gathers: boolean;
  readonly now: EpochSeconds;
}

/** Where the person states no order, every way at once; else the first, with the others behind it. */
export function waysOut(person: PersonConfig, addressed: Addressed): OutboxEntry[] {
  const { canWait, now: _now, ...of } = addressed;
  const urgent = !canWait;
  const notBefore = earliest(person, addressed);
  const common = {
    ...of,
    urgent,
    notBefore,
    patienceEnds: patienceEnds({ urgent, useBefore: of.useBefore }, notBefore),
  };
  if (person.reach === 'all') return person.channels.map((channel) => by(channel, common));
  const [first, ...ways] = [...new Set(urgent ? person.urgent : person.channels)];
  return first === undefined ? [] : [{ ...by(first, common), ways }];
}

/** Work that begins no sooner after the quiet hours than this is no reason to wake anybody, however urgent its way. */
const AWAKE_S = 12 * HOUR_S;
const PLANNED: readonly OutgoingMessage['kind'][] = ['act', 'worse'];

/** What would be too late after the quiet hours does not wait for their end. */
function earliest({ quiet, timeZone }: PersonConfig, addressed: Addressed): EpochSeconds {
  const { canWait, useBefore, now, message } = addressed;
  if (quiet === null) return now;
  const end = endOfQuiet(quiet, timeZone, now);
  const isFarOff = PLANNED.includes(message.kind) && (message.startBy ?? end) - end >= AWAKE_S;
  return (canWait || isFarOff) && end < useBefore ? end : now;
}

/** What a program takes in is of one unit. */
function by(channel: PersonConfig['channels'][number], entry: Omit<OutboxEntry, 'channel'>): OutboxEntry {
  return { ...entry, channel, gathers: entry.gathers === true && channel !== 'webhook' };
}
