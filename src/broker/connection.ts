/** One connection to a broker that is kept up: tried again without end, in the newest version that it speaks. */
import { randomUUID } from 'node:crypto';
import type { IClientOptions, IPublishPacket, MqttClient } from 'mqtt';

export interface ConnectionOptions {
  readonly url: string;
  readonly user: string | null;
  readonly password: string | null;
  /** Milliseconds before the broker is tried again. */
  readonly reconnectMs: number;
  /** Called at each connect. */
  readonly onConnect: (client: MqttClient) => void;
  readonly onMessage: (topic: string, payload: Buffer, packet: IPublishPacket) => void;
  /** The broker cannot be reached, or is lost; called once, until it is there again. */
  readonly onLost: (reason: string) => void;
}

export interface KeptConnection {
  /** Null: there is no connection now. */
  current(): MqttClient | null;
  /** Waits for a connection that is being made; where the broker is known to be away, it rejects at once. */
  connected(signal: AbortSignal): Promise<MqttClient>;
  close(): Promise<void>;
}

/** CONNACK: "unacceptable protocol version" (MQTT 3.1.1, 3.2.2.3), "unsupported protocol version" (MQTT 5, 3.2.2.2). */
const OTHER_VERSION: readonly unknown[] = [1, 0x84];

type Version = 4 | 5;

interface Waiting {
  readonly resolve: (client: MqttClient) => void;
  readonly reject: (error: Error) => void;
}

export function keepConnection(options: ConnectionOptions): KeptConnection {
  return new Connection(options);
}

class Connection implements KeptConnection {
  readonly #options: ConnectionOptions;
  readonly #waiting = new Set<Waiting>();
  #client: MqttClient | null = null;
  #opening: Promise<void>;
  #closed = false;
  #isLost = false;
  #reason = '';

  constructor(options: ConnectionOptions) {
    this.#options = options;
    this.#opening = this.#open(5).catch((error: unknown) => this.#lost(String(error)));
  }

  current(): MqttClient | null {
    return this.#client?.connected === true ? this.#client : null;
  }

  async connected(signal: AbortSignal): Promise<MqttClient> {
    const client = this.current();
    if (client !== null) return client;
    if (this.#isLost || signal.aborted) throw this.#away();
    return await new Promise((resolve, reject) => {
      const waiting = { resolve, reject };
      this.#waiting.add(waiting);
      signal.addEventListener('abort', () => this.#giveUp([waiting]), { once: true });
    });
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#opening;
    await this.#client?.endAsync(true);
  }

  async #open(version: Version): Promise<void> {
    // Loaded only here: most people have no broker, and the package takes its time.
    const { default: mqtt } = await import('mqtt');
    if (this.#closed) return;
    const client = mqtt.connect(this.#options.url, clientOptions(this.#options, version));
    this.#client = client;
    client.on('connect', () => {
      this.#isLost = false;
      this.#reason = '';
      this.#options.onConnect(client);
      for (const { resolve } of this.#waiting) resolve(client);
      this.#waiting.clear();
    });
    client.on('message', this.#options.onMessage);
    client.on('error', (error) => {
      const code = 'code' in error ? error.code : undefined;
      if (version === 5 && OTHER_VERSION.includes(code)) this.#turnTo(client, 4);
      else this.#reason = error.message || String(code ?? error.name);
    });
    client.on('close', () => {
      if (client === this.#client && !this.#closed) this.#lost(this.#reason);
    });
  }

  #turnTo(refused: MqttClient, version: Version): void {
    if (refused !== this.#client) return;
    this.#client = null;
    refused.end(true);
    this.#opening = this.#open(version).catch((error: unknown) => this.#lost(String(error)));
  }

  #giveUp(waiting: Iterable<Waiting>): void {
    for (const one of waiting) {
      this.#waiting.delete(one);
      one.reject(this.#away());
    }
  }

  #away(): Error {
    return new Error(this.#reason === '' ? 'no answer' : this.#reason);
  }

  #lost(reason: string): void {
    this.#giveUp([...this.#waiting]);
    if (this.#isLost) return;
    this.#isLost = true;
    this.#options.onLost(reason);
  }
}

function clientOptions({ user, password, reconnectMs }: ConnectionOptions, version: Version): IClientOptions {
  return {
    protocolVersion: version,
    clientId: `drainby-${randomUUID().slice(0, 13)}`,
    clean: true,
    resubscribe: false,
    reconnectPeriod: reconnectMs,
    reconnectOnConnackError: true,
    connectTimeout: 10_000,
    ...(user === null ? {} : { username: user }),
    ...(password === null ? {} : { password }),
  };
}
