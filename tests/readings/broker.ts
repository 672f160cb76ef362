/** An MQTT broker in this process, on a free port of the loopback interface. */
import { once } from 'node:events';
import { createServer, type AddressInfo, type Socket } from 'node:net';
import { setImmediate } from 'node:timers/promises';
import { Aedes, type AedesOptions } from 'aedes';
import { onTestFinished } from 'vitest';

export interface Broker {
  readonly port: number;
  readonly url: string;
  /** Publishes, and waits until a subscriber has it in hand. */
  publish(topic: string, payload: string): Promise<void>;
  /** Leaves a message for those who come later. */
  retain(topic: string, payload: string): Promise<void>;
  /** The next time that somebody subscribes. */
  subscribed(): Promise<void>;
  /** All that is retained, by topic, once it fits: the broker confirms a message before it keeps it. */
  kept(fits: (kept: ReadonlyMap<string, string>) => boolean): Promise<ReadonlyMap<string, string>>;
  /** The next time that somebody takes off what is kept under the topic. */
  cleared(topic: string): Promise<void>;
  /** Cuts every connection. */
  cut(): void;
}

export async function startBroker(options: AedesOptions = {}, port = 0): Promise<Broker> {
  const aedes = await Aedes.createBroker(options);
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    aedes.handle(socket);
  });
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  const cut = (): void => {
    for (const socket of sockets) socket.destroy();
    sockets.clear();
  };
  onTestFinished(async () => {
    cut();
    server.close();
    await new Promise<void>((resolve) => {
      aedes.close(() => resolve());
    });
  });
  const send = async (topic: string, payload: string, retain: boolean): Promise<void> => {
    const packet = { cmd: 'publish', dup: false, qos: 1, topic, payload, retain } as const;
    await new Promise<void>((resolve, reject) => {
      aedes.publish(packet, (error) => (error ? reject(error) : resolve()));
    });
  };
  const { port: taken } = server.address() as AddressInfo;
  return {
    port: taken,
    url: `mqtt://127.0.0.1:${taken}`,
    async publish(topic, payload) {
      const acknowledged = once(aedes, 'ack');
      await send(topic, payload, false);
      await acknowledged;
    },
    retain: (topic, payload) => send(topic, payload, true),
    async subscribed() {
      await once(aedes, 'subscribe');
    },
    async kept(fits) {
      for (;;) {
        const kept = new Map<string, string>();
        for await (const { topic, payload } of retainedIn(aedes)) kept.set(topic, payload.toString());
        if (fits(kept)) return kept;
        await setImmediate();
      }
    },
    cleared: (topic) =>
      new Promise((resolve) => {
        const look = (packet: { topic: string; payload: Buffer | string }): void => {
          if (packet.topic !== topic || packet.payload.length > 0) return;
          aedes.off('publish', look);
          resolve();
        };
        aedes.on('publish', look);
      }),
    cut,
  };
}

/** What its declarations of types leave out. */
interface Retaining {
  readonly persistence: {
    createRetainedStream(filter: string): AsyncIterable<{ readonly topic: string; readonly payload: Buffer }>;
  };
}

function retainedIn(aedes: Aedes): ReturnType<Retaining['persistence']['createRetainedStream']> {
  return (aedes as unknown as Retaining).persistence.createRetainedStream('#');
}
