/** What a broker has under a topic, as somebody sees it who comes later or is there already. */
import mqtt, { type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';

export interface Seen {
  readonly topic: string;
  readonly payload: string;
  /** The broker had kept it for those who come later. */
  readonly retained: boolean;
}

export interface Watcher {
  readonly seen: readonly Seen[];
  /** Resolves with the first that fits, seen already or yet to come. */
  until(fits: (seen: Seen) => boolean): Promise<Seen>;
}

export async function watch(url: string, filter: string): Promise<Watcher> {
  const client: MqttClient = await mqtt.connectAsync(url, { protocolVersion: 4, reconnectPeriod: 0 });
  onTestFinished(() => client.endAsync(true));
  const seen: Seen[] = [];
  const waiting = new Set<() => void>();
  client.on('message', (topic, payload, { retain }) => {
    seen.push({ topic, payload: payload.toString('utf8'), retained: retain });
    for (const look of waiting) look();
  });
  await client.subscribeAsync(filter, { qos: 1 });
  return {
    seen,
    until: (fits) =>
      new Promise((resolve) => {
        const look = (): void => {
          const found = seen.find(fits);
          if (found === undefined) return;
          waiting.delete(look);
          resolve(found);
        };
        waiting.add(look);
        look();
      }),
  };
}
