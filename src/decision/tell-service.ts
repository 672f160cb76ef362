/** What is said of the end of a place's water service: once for each end, and again only when time grows short. */
import { DAY_S, HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { AddressedNotice, ServiceSaid } from './memory.ts';
import { noticeOf } from './notice.ts';
import type { Closing } from './service.ts';

export type ServiceKind = ServiceSaid['kind'];

/** One thing to be done before the service ends. */
export interface ServiceDue {
  readonly kind: ServiceKind;
  readonly closing: Pick<Closing, 'at' | 'because'>;
  /** Not in the past. Null: there is no time left to plan; as soon as can be. */
  readonly startBy: EpochSeconds | null;
}

export interface ServiceFinding {
  readonly unit: string;
  readonly now: EpochSeconds;
  /** In the order in which they are to be done. */
  readonly due: readonly ServiceDue[];
  /** Ids of the unit's contacts. */
  readonly contacts: readonly string[];
}

export interface ServiceTold {
  readonly memory: readonly ServiceSaid[];
  readonly notices: readonly AddressedNotice[];
  /** Said before, and still to be done: for those whom it has not reached. */
  readonly standing: readonly AddressedNotice[];
}

const EARLIER_S = 6 * HOUR_S;
/** Cold that was out of the forecast for longer than this is another one when it is back. */
const SAME_COLD_S = DAY_S;
/** So long after an end nothing is to be known of it any more. */
const FORGOTTEN_S = 30 * DAY_S;

export function tellService(finding: ServiceFinding, remembered: readonly ServiceSaid[]): ServiceTold {
  const { now } = finding;
  let memory = remembered.filter((said) => now - Math.max(said.shutAt, said.seenAt) < FORGOTTEN_S);
  const notices: AddressedNotice[] = [];
  const standing: AddressedNotice[] = [];
  for (const due of finding.due) {
    const before = memory.find((said) => isSame(said, due, now)) ?? null;
    const said = sayDue(finding, due, before);
    memory = [...memory.filter((one) => one !== before), said];
    const isNew = before === null || said.number > before.number;
    if (isNew || said.startBy === null || said.startBy > now)
      (isNew ? notices : standing).push(noticeFor(finding, said));
  }
  return { memory, notices, standing };
}

/** A date is told from another by the date; cold moves from forecast to forecast. */
function isSame(said: ServiceSaid, { kind, closing }: ServiceDue, now: EpochSeconds): boolean {
  if (said.kind !== kind || said.because !== closing.because) return false;
  return said.because === 'date' ? said.shutAt === closing.at : now - said.seenAt < SAME_COLD_S;
}

function sayDue(
  { unit, now }: ServiceFinding,
  { kind, closing, startBy }: ServiceDue,
  before: ServiceSaid | null,
): ServiceSaid {
  const { at: shutAt, because } = closing;
  if (before === null) {
    const key = `${unit}.${because}.${isoSecond(shutAt)}`;
    return { kind, because, key, number: 1, shutAt, startBy, seenAt: now };
  }
  const told = before.startBy;
  const isEarlier = told !== null && (startBy ?? now) <= told - EARLIER_S;
  if (!isEarlier) return { ...before, seenAt: now };
  return { ...before, number: before.number + 1, startBy, seenAt: now };
}

function noticeFor({ now, contacts }: ServiceFinding, said: ServiceSaid): AddressedNotice {
  const { kind, startBy, key, number, shutAt } = said;
  const episode = number === 1 ? key : `${key}.${number}`;
  const notice = noticeOf(kind, {
    episode,
    action: 'nothing',
    startBy,
    now,
    deadlineAt: null,
    previous: null,
  });
  // Where there is no time to start by, what is said is of use until the end itself.
  const useBefore = startBy === null && shutAt > now ? shutAt : notice.useBefore;
  return { ...notice, useBefore, to: contacts };
}
