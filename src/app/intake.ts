/** The ways by which readings come in while the daemon runs: over HTTP, and from sensors that publish over MQTT. */
import { readFileSync } from 'node:fs';
import type { Config, MqttConfig, Secret } from '../config/config.ts';
import { ConfigError } from '../errors.ts';
import type { Log } from '../outbox/log.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Store } from '../store/store.ts';
import { keepWeb } from '../web/server.ts';
import { acceptReadings } from './readings.ts';

export interface IntakeOf {
  readonly config: Config;
  readonly store: Store;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly now: () => EpochSeconds;
  readonly log: Log;
  readonly signal: AbortSignal;
}

export interface OpenIntake {
  /** Writes what is in hand and lets go of addresses and brokers. */
  close(): Promise<void>;
}

/** @throws ConfigError for a secret that is not there, or an address that is none of a broker. */
export async function openIntake(of: IntakeOf): Promise<OpenIntake> {
  const { web, readings } = of.config;
  const token = secretOf(readings.token, 'token for POST /readings', of);
  const mqtt = readings.mqtt === null ? null : await listen(readings.mqtt, of);
  const served = web === null ? null : serve(web.listen, token, of);
  return {
    async close() {
      await served?.close();
      await mqtt?.close();
    },
  };
}

function serve(address: string, token: string | null, of: IntakeOf): OpenIntake {
  const { config, store, now, log, signal } = of;
  const take = acceptReadings({ config, store, origin: 'http', now });
  const lastRound = async (): Promise<EpochSeconds | null> => (await store.lastRound())?.finishedAt ?? null;
  return keepWeb({ listen: address, token, addReadings: take, lastRound, now, log, signal });
}

/** Its library is loaded only where there are sensors to listen to. */
async function listen(mqtt: MqttConfig, of: IntakeOf): Promise<OpenIntake> {
  const { openMqtt } = await import('../readings/mqtt.ts');
  const { config, store, now, log } = of;
  return await openMqtt({
    url: mqtt.url,
    user: mqtt.user,
    password: secretOf(mqtt.password, 'password for the MQTT broker', of),
    subscriptions: mqtt.subscriptions.map((one) => ({
      ...one,
      path: one.path ?? '',
      place: one.unit === null ? one.place : null,
    })),
    write: acceptReadings({ config, store, origin: 'mqtt', now }),
    now,
    log,
  });
}

function secretOf(secret: Secret | null, what: string, { env }: IntakeOf): string | null {
  if (secret === null) return null;
  const text = 'env' in secret ? env[secret.env] : readFile(secret.file);
  if (text !== undefined && text.trim() !== '') return text.trim();
  const where = 'env' in secret ? `The environment variable ${secret.env}` : `The file ${secret.file}`;
  throw new ConfigError('config-invalid', [`${where} holds no ${what}.`], {
    hint: 'Put it there and start again; the config itself is no place for it.',
  });
}

function readFile(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
}
