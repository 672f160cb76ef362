import type { OutgoingMessage } from '../message/message.ts';

/** In the order in which they are tried where nothing else is said. */
export const CHANNELS = ['text', 'email', 'webhook', 'mqtt', 'file', 'console'] as const;
export type ChannelId = (typeof CHANNELS)[number];

/**
 * The port every way out is behind. `send` resolves once the message was handed over, and rejects with a
 * `DeliveryError` whose `retryable` says whether another attempt can help.
 */
export interface Channel {
  readonly id: ChannelId;
  send(message: OutgoingMessage, signal: AbortSignal): Promise<void>;
  close(): Promise<void>;
}

/** A channel hands on what is worth a line in the log and stops no message. */
export type OnTrouble = (what: string, error: unknown) => void;
