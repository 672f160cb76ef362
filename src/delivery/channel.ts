import type { OutgoingMessage } from '../message/message.ts';

export const CHANNELS = ['email', 'file', 'console'] as const;
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
