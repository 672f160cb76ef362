/** From the config to the doors for readings, with their secrets. */
import { readFileSync } from 'node:fs';
import type { Config, MqttConfig, Secret } from '../config/config.ts';
import { ConfigError } from '../errors.ts';
import type { IntakeOptions } from './intake.ts';

type Env = Readonly<Record<string, string | undefined>>;

/** @throws ConfigError for a secret that is not there. */
export function intakeOf({ web, readings }: Config, env: Env): Pick<IntakeOptions, 'web' | 'mqtt'> {
  const token = secretOf(readings.token, 'token for POST /readings', env);
  return {
    web: web === null ? null : { listen: web.listen, token },
    mqtt: readings.mqtt === null ? null : mqttOf(readings.mqtt, env),
  };
}

/** Null: there is none. @throws ConfigError for an address that is not there, or is none. */
export function heartbeatUrl({ heartbeat }: Pick<Config, 'heartbeat'>, env: Env): string | null {
  if (heartbeat === null) return null;
  if (typeof heartbeat.url === 'string') return heartbeat.url;
  const url = secretOf(heartbeat.url, 'address for the heartbeat', env);
  if (url !== null && URL.canParse(url) && /^https?:$/.test(new URL(url).protocol)) return url;
  throw new ConfigError(
    'config-invalid',
    ['The address for the heartbeat is no http:// or https:// address.'],
    {
      hint: 'Correct it where heartbeat.urlEnv or heartbeat.urlFile says it is.',
    },
  );
}

function mqttOf(mqtt: MqttConfig, env: Env): NonNullable<IntakeOptions['mqtt']> {
  return {
    url: mqtt.url,
    user: mqtt.user,
    password: secretOf(mqtt.password, 'password for the MQTT broker', env),
    subscriptions: mqtt.subscriptions.map((one) => ({
      ...one,
      path: one.path ?? '',
      place: one.unit === null ? one.place : null,
    })),
  };
}

function secretOf(secret: Secret | null, what: string, env: Env): string | null {
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
