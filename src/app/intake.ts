/** The doors through which readings and answers come in while the daemon runs: HTTP and MQTT, each only where it is configured. */
import type { Config } from '../config/config.ts';
import type { Log } from '../outbox/log.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openMqtt, type MqttOptions, type MqttReadings } from '../readings/mqtt.ts';
import type { Store } from '../store/store.ts';
import type { Wellness } from '../web/routes.ts';
import { keepWeb, type WebOptions } from '../web/server.ts';
import { answerDesk } from './answer-desk.ts';
import { staleness } from './freshness.ts';
import { acceptReadings, readingProblem } from './readings.ts';

export interface IntakeOptions {
  readonly config: Config;
  readonly store: Pick<
    Store,
    'addReadings' | 'lastRound' | 'outboxHealth' | 'damagedUnits' | 'answer' | 'linkKey' | 'readUnit'
  >;
  /** Null: nothing is served. */
  readonly web: Pick<WebOptions, 'listen' | 'token'> | null;
  /** Null: there is no broker. */
  readonly mqtt: Pick<MqttOptions, 'url' | 'user' | 'password' | 'subscriptions'> | null;
  readonly now: () => EpochSeconds;
  readonly log: Log;
  readonly signal: AbortSignal;
  /** Called after each answer that was kept; absent: nobody waits for it. */
  readonly onAnswer?: () => void;
}

export interface OpenIntake {
  /** Writes what is in hand. To be awaited before the store is closed. */
  close(): Promise<void>;
}

/** @throws StoreError */
export async function wellness({
  config,
  store,
  now,
}: Pick<IntakeOptions, 'config' | 'now'> & {
  readonly store: Pick<Store, 'lastRound' | 'outboxHealth' | 'damagedUnits'>;
}): Promise<Wellness> {
  const at = now();
  const [lastRound, outbox] = [await store.lastRound(), await store.outboxHealth(at)];
  const unreadable = new Set(await store.damagedUnits());
  const damaged = config.units.filter(({ id }) => unreadable.has(id)).length;
  const reasons = staleness({ lastRound, schedule: config.schedule, outbox, damaged }, at);
  return { lastRoundAt: lastRound?.finishedAt ?? null, reasons };
}

/**
 * Neither a web address that is taken nor a broker that is away keeps it from opening.
 *
 * @throws ConfigError for an address or a topic that can be none
 */
export async function openIntake(options: IntakeOptions): Promise<OpenIntake> {
  const { config, store, now, log, signal } = options;
  const taking = (origin: 'http' | 'mqtt') => acceptReadings({ config, store, origin, now });
  const open: Pick<MqttReadings, 'close'>[] = [];
  if (options.mqtt !== null) {
    const check = readingProblem({ config, origin: 'mqtt', now });
    open.push(openMqtt({ ...options.mqtt, write: taking('mqtt'), check, now, log }));
  }
  if (options.web !== null) {
    const { onAnswer = () => undefined } = options;
    const answers = {
      desk: answerDesk({ config, store, now, log, onAnswer }),
      origin: new URL(config.web?.publicUrl ?? 'http://localhost').origin,
    };
    open.push(
      keepWeb({
        ...options.web,
        addReadings: taking('http'),
        wellness: () => wellness(options),
        now,
        log,
        signal,
        answers,
      }),
    );
  }
  return {
    async close() {
      await Promise.all(open.map((one) => one.close()));
    },
  };
}
