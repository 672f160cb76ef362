import type { DeliveryConfig } from '../config/config.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Channel, ChannelId, OnTrouble } from './channel.ts';
import { openConsole } from './console.ts';
import { openEmail } from './email.ts';
import { openFile } from './file.ts';
import { openMqttState } from './mqtt-state.ts';
import type { StateOf } from './retained-states.ts';
import type { Environment } from './secret.ts';
import { parseFrom } from './smtp-sender.ts';
import { openTextGateway } from './text-gateway.ts';
import { openWebhook } from './webhook.ts';

/** The sender of messages that are only written to files. */
const FILE_SENDER = 'drainby@drainby.invalid';

export interface ChannelsOptions {
  /** Where passwords named by a variable are read. */
  readonly env: Environment;
  /** Where the console channel writes. */
  readonly write: (text: string) => void;
  readonly now: () => EpochSeconds;
  /** Puts in the links by which readers answer, at each attempt, or takes out what stands for them. */
  readonly linked: (message: OutgoingMessage) => Promise<OutgoingMessage>;
  /** Whose state machines are told; null: of nobody, and the broker is left alone. */
  readonly units: readonly StateOf[] | null;
  /** Which drainby tells them. */
  readonly installation: Promise<string>;
  readonly onTrouble: OnTrouble;
}

/**
 * Opens the channels that the config names.
 *
 * @throws {DeliveryError} 'delivery-config' when a channel cannot be used as configured.
 */
export function openChannels(
  config: DeliveryConfig,
  options: ChannelsOptions,
): ReadonlyMap<ChannelId, Channel> {
  const { env, write, units, onTrouble } = options;
  const { email, file, webhook, mqtt } = config;
  const channels: Channel[] = [];
  if (email !== null) {
    const smtp = { env, onTrouble };
    channels.push(openTextGateway(email, smtp), openEmail(email, smtp));
  }
  if (webhook !== null) channels.push(openWebhook(webhook, options));
  if (file !== null) {
    const from = parseFrom(email?.from ?? FILE_SENDER);
    channels.push(openFile({ directory: file.directory, from, onTrouble }));
  }
  if (config.console) channels.push(openConsole(write));
  // Last: it holds a connection, which nobody would close if another channel could not be opened.
  if (mqtt !== null && units !== null) channels.push(openMqttState(mqtt, { ...options, units }));
  return new Map(channels.map((channel) => [channel.id, answerable(channel, options)]));
}

function answerable(channel: Channel, { linked }: ChannelsOptions): Channel {
  return {
    id: channel.id,
    async send(message, signal) {
      await channel.send(await linked(message), signal);
    },
    close: () => channel.close(),
  };
}
