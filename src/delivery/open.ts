import type { DeliveryConfig } from '../config/config.ts';
import type { Channel, ChannelId } from './channel.ts';
import { openConsole } from './console.ts';
import { openEmail, parseFrom } from './email.ts';
import type { Environment } from './email.ts';
import { openFile } from './file.ts';

/** The sender of messages that are only written to files. */
const FILE_SENDER = 'drainby@drainby.invalid';

/**
 * Opens the channels that the config names.
 *
 * @param env where passwords named by a variable are read
 * @param write where the console channel writes
 * @throws {DeliveryError} 'delivery-config' when a channel cannot be used as configured.
 */
export function openChannels(
  config: DeliveryConfig,
  env: Environment,
  write: (text: string) => void,
): ReadonlyMap<ChannelId, Channel> {
  const channels: Channel[] = [];
  if (config.email !== null) channels.push(openEmail(config.email, { env }));
  if (config.file !== null) {
    const from = parseFrom(config.email?.from ?? FILE_SENDER);
    channels.push(openFile({ directory: config.file.directory, from }));
  }
  if (config.console) channels.push(openConsole(write));
  return new Map(channels.map((channel) => [channel.id, channel]));
}
