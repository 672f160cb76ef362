/** From the config to the doors for readings, with their secrets. */
import type { Config, MqttConfig, Secret } from '../config/config.ts';
import { secretText, type Environment } from '../delivery/secret.ts';
import { ConfigError } from '../errors.ts';
import { tokenWeakness } from '../web/token.ts';
import type { IntakeOptions } from './intake.ts';

const TOKEN = 'token for POST /readings';

/** @throws ConfigError for a secret that is not there, and for a token that is weak. */
export function intakeOf({ web, readings }: Config, env: Environment): Pick<IntakeOptions, 'web' | 'mqtt'> {
  const token = secretOf(readings.token, TOKEN, env);
  const weakness = token === null ? null : tokenWeakness(token);
  if (weakness !== null) {
    throw new ConfigError('config-invalid', [`The ${TOKEN} ${weakness}.`], {
      hint: 'Make one with "openssl rand -hex 32", and put it where readings.tokenEnv or readings.tokenFile says it is.',
    });
  }
  return {
    web: web === null ? null : { listen: web.listen, token },
    mqtt: readings.mqtt === null ? null : mqttOf(readings.mqtt, env),
  };
}

/** Null: there is none. @throws ConfigError for an address that is not there, or is none. */
export function heartbeatUrl({ heartbeat }: Pick<Config, 'heartbeat'>, env: Environment): string | null {
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

function mqttOf(mqtt: MqttConfig, env: Environment): NonNullable<IntakeOptions['mqtt']> {
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

/** Without the blanks around it. */
function secretOf(secret: Secret | null, what: string, env: Environment): string | null {
  if (secret === null) return null;
  const found = secretText(secret, env, what);
  if (found.ok && found.text.trim() !== '') return found.text.trim();
  const { problem, cause } = found.ok ? { problem: `The ${what} is nothing but blanks.` } : found;
  throw new ConfigError('config-invalid', [problem], {
    hint: 'Put it there and start again; the config itself is no place for it.',
    ...(cause === undefined ? {} : { cause }),
  });
}
