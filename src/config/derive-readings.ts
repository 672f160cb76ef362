import type { MqttConfig, MqttSubscription, ReadingsConfig, Secret } from './config.ts';
import type { Origin } from './origin.ts';
import type { ParsedConfig } from './schema.ts';

type ParsedReadings = ParsedConfig['readings'];
type ParsedMqtt = NonNullable<ParsedReadings['mqtt']>;

export function deriveReadings({ readings, units }: ParsedConfig, origin: Origin): ReadingsConfig {
  return {
    token: deriveSecret({ env: readings.tokenEnv, file: readings.tokenFile }, origin),
    mqtt: readings.mqtt === undefined ? null : deriveMqtt(readings.mqtt, units, origin),
  };
}

/** Of a variable and a file, the one that is given; a rule says that both are not. */
export function deriveSecret(
  { env, file }: { readonly env: string | undefined; readonly file: string | undefined },
  origin: Origin,
): Secret | null {
  if (env !== undefined) return { env };
  return file === undefined ? null : { file: origin.resolvePath(file) };
}

function deriveMqtt(mqtt: ParsedMqtt, units: ParsedConfig['units'], origin: Origin): MqttConfig {
  return {
    url: mqtt.url,
    user: mqtt.user ?? null,
    password: deriveSecret({ env: mqtt.passwordEnv, file: mqtt.passwordFile }, origin),
    subscriptions: mqtt.subscriptions.map((one) => deriveSubscription(one, units)),
  };
}

function deriveSubscription(
  one: ParsedMqtt['subscriptions'][number],
  units: ParsedConfig['units'],
): MqttSubscription {
  const { topic, path = null, timePath = null, temperature, unit = null, zone } = one;
  const place = one.place ?? units.find((u) => u.id === unit)?.place ?? '';
  return { topic, path, timePath, temperature, place, unit, zone };
}
