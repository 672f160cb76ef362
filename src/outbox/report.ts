import type { ClaimedMessage, LostMessage, PassedOn, Settlement } from '../store/store.ts';
import type { AttemptResult } from './attempt.ts';
import type { Log } from './log.ts';
import type { Parcel } from './parcel.ts';

/** How many messages ended which way. Those that failed or expired have no other way left. */
export interface DeliveryReport {
  readonly sent: number;
  readonly again: number;
  readonly failed: number;
  readonly expired: number;
}

export const NOTHING_DONE: DeliveryReport = { sent: 0, again: 0, failed: 0, expired: 0 };

export function sum(a: DeliveryReport, b: DeliveryReport): DeliveryReport {
  return {
    sent: a.sent + b.sent,
    again: a.again + b.again,
    failed: a.failed + b.failed,
    expired: a.expired + b.expired,
  };
}

export function counted(outcome: Settlement['outcome']): DeliveryReport {
  return { ...NOTHING_DONE, [outcome]: 1 };
}

/** A failure that only repeats the one before is not said again. */
export function logAttempt(log: Log, parcel: Parcel, { settlement, error }: AttemptResult): void {
  for (const { lastError, ...late } of parcel.late) log.error({ ...identity([late]), lastError }, TOO_LATE);
  const { members } = parcel;
  const [first] = members;
  if (first === undefined) return;
  if (isPassing(first.message.kind) && settlement.outcome !== 'failed') return;
  const fields = { ...identity(members), attempt: parcel.attempt };
  switch (settlement.outcome) {
    case 'sent':
      log.info(fields, 'The message was sent.');
      return;
    case 'again':
      if (settlement.error === parcel.lastError) return;
      log.warn(
        {
          ...fields,
          code: error?.code,
          error: settlement.error,
          hint: error?.hint,
          nextTryAt: settlement.nextTryAt,
        },
        'The message could not be sent and will be tried again.',
      );
      return;
    case 'failed': {
      const next = members.find(({ ways }) => ways.length > 0)?.ways[0];
      if (next !== undefined) {
        log.warn(
          { ...fields, next, code: error?.code, error: settlement.error, hint: error?.hint },
          HANDED_ON,
        );
        return;
      }
      log.error(
        { ...fields, code: error?.code, error: settlement.error, hint: error?.hint },
        settlement.unsure === true ? NEVER_CONFIRMED : REFUSED,
      );
      return;
    }
    case 'expired':
      log.error({ ...fields, lastError: parcel.lastError }, TOO_LATE);
  }
}

export function logPassedOn(log: Log, passedOn: readonly PassedOn[]): void {
  for (const message of passedOn) log.warn(message, SLOW);
}

export function logUnrenewed(log: Log, error: unknown): void {
  const reason = error instanceof Error ? error.message : String(error);
  log.warn(
    { error: reason },
    'The claim on a message could not be renewed; another process may send it, too.',
  );
}

/** What was tried in vain and gave way to newer news is no loss, but it did not arrive in its time. */
export function logOvertaken(log: Log, overtaken: readonly LostMessage[]): void {
  for (const message of overtaken.filter(({ kind, attempts }) => attempts > 0 && !isPassing(kind))) {
    log.warn(message, 'The message could not be sent before a newer one took its place.');
  }
}

/** Also of what another message would soon take the place of: the database needs somebody. */
export function logUnreadable(log: Log, unreadable: readonly LostMessage[]): void {
  for (const message of unreadable)
    log.error({ ...message, code: 'store-damaged', hint: UNREADABLE_HINT }, UNREADABLE);
}

export function logLost(log: Log, lost: readonly LostMessage[]): void {
  for (const message of lost.filter(({ kind }) => !isPassing(kind))) log.error(message, TOO_LATE);
}

/**
 * Of the state of a unit there is another one after the next round; that its broker is away, the channel says, once
 * and not of every unit.
 */
function isPassing(kind: string): boolean {
  return kind === 'state';
}

/** The claim lapsed while the message was on its way, so another process may have sent it too. */
export function logLapsed(log: Log, { members, late, attempt }: Parcel): void {
  log.warn(
    { ...identity([...members, ...late]), attempt },
    'The claim on the message had lapsed; it may arrive twice, with the same Message-ID.',
  );
}

const REFUSED = 'The message was refused for good. Tell the person another way.';

const HANDED_ON = 'This way does not take the message; the next one of the person is tried.';

const SLOW = 'The message was not taken in time; the next way of the person is tried beside this one.';

const NEVER_CONFIRMED =
  'No server has said whether it took the message, so it is not sent again. Ask the person whether it arrived.';

const UNREADABLE =
  'The text of a message in the database cannot be read, so it is not sent. Tell the person another way.';

const UNREADABLE_HINT =
  'Run "drainby store check -c FILE". If more is damaged, stop the daemon and put a backup in its place.';

const TOO_LATE = 'The message could not be sent while it was of use. Tell the person another way.';

/** Of a list its Message-ID, and how many it holds. */
function identity(members: readonly Pick<ClaimedMessage, 'channel' | 'message' | 'batch'>[]): object {
  const [first] = members;
  if (first === undefined) return {};
  const { channel, message, batch } = first;
  const units = members.map((member) => member.message.unit);
  return {
    ...(units.length === 1 ? { unit: message.unit, kind: message.kind } : { units: [...new Set(units)] }),
    person: message.to.id,
    channel,
    messageId: batch ?? message.messageId,
  };
}
