import type { ChannelId } from '../delivery/channel.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { ClaimedMessage } from '../store/store.ts';
import { isUsable } from './schedule.ts';

/** Makes one message of many to the same reader. */
export type Gather = (messages: readonly OutgoingMessage[]) => OutgoingMessage;

/** What goes out as one message. */
export interface Parcel {
  readonly channel: ChannelId;
  readonly members: readonly ClaimedMessage[];
  /** Those whose time ran out since they were claimed. */
  readonly late: readonly ClaimedMessage[];
  /** Failed attempts so far, with this one. */
  readonly attempt: number;
  readonly unsureAttempts: number;
  /** Why the attempt before this one failed. */
  readonly lastError: string | null;
}

/** Null: nothing was claimed. */
export function parcelOf(claimed: readonly ClaimedMessage[], now: EpochSeconds): Parcel | null {
  const [first] = claimed;
  if (first === undefined) return null;
  return {
    channel: first.channel,
    members: claimed.filter(({ useBefore }) => isUsable(useBefore, now)),
    late: claimed.filter(({ useBefore }) => !isUsable(useBefore, now)),
    attempt: Math.max(...claimed.map(({ attempt }) => attempt)),
    unsureAttempts: Math.max(...claimed.map(({ unsureAttempts }) => unsureAttempts)),
    lastError: first.lastError,
  };
}

/**
 * A group goes out under the group's own Message-ID, also when only one member is left of it: it may have gone out
 * before. Null: there is nothing left to send.
 */
export function messageOf({ members }: Parcel, gather: Gather | undefined): OutgoingMessage | null {
  const [first] = members;
  if (first === undefined) return null;
  const { batch, message } = first;
  if (gather === undefined || batch === null || batch === message.messageId) return message;
  return { ...gather(members.map((member) => member.message)), messageId: batch };
}
