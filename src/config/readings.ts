import { z } from 'zod';
import { ZONES } from '../model/unit.ts';
import { broken, environmentName, id, label, path } from './field.ts';

const brokerRule = broken('must be an address that begins with mqtt:// or mqtts://, without a password');
export const topicRule = broken('must be a topic without wildcards such as "yard/creek/temperature"');
const pathRule = broken('must be the way to a value in the message such as "sensors.0.temperature"');

function isBroker(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, hostname, password, username } = new URL(text);
  // Without the two slashes all that follows counts as a path, also a password.
  return ['mqtt:', 'mqtts:'].includes(protocol) && hostname !== '' && password === '' && username === '';
}

const wayInto = () => z.string({ error: pathRule }).regex(/^[\w-]+(\.[\w-]+)*$/, { error: pathRule });

const SubscriptionSchema = z.strictObject({
  topic: z
    .string({ error: topicRule })
    .regex(/^[^+#\0]{1,200}$/, { error: topicRule })
    .describe('Topic that the sensor publishes to.'),
  path: wayInto()
    .optional()
    .describe('Where in a JSON message the temperature stands; without it, the message is a bare number.'),
  timePath: wayInto()
    .optional()
    .describe('Where in it the time of the reading stands; without it, the time of arrival is taken.'),
  temperature: z.enum(['F', 'C']).default('C').describe('Unit that the sensor speaks in.'),
  place: id().optional().describe('The place whose outside air it reads; or give `unit`.'),
  unit: id().optional().describe('The unit in which it hangs; or give `place`.'),
  zone: z.enum(ZONES).default('outside').describe('The zone of the unit in which it hangs.'),
});

/** How a broker is reached, whichever way the messages go. */
export const brokerFields = () => ({
  url: z
    .string({ error: brokerRule })
    .refine(isBroker, { error: brokerRule })
    .describe('Address of the broker.'),
  user: label().optional().describe('User name, where the broker wants one.'),
  passwordEnv: environmentName().optional().describe('Environment variable that holds the password.'),
  passwordFile: path().optional().describe('File that holds the password, relative to this file.'),
});

const MqttSchema = z.strictObject({
  ...brokerFields(),
  subscriptions: z
    .array(SubscriptionSchema)
    .min(1, { error: 'must hold at least one subscription, found an empty list' })
    .describe('The sensors that are listened to.'),
});

export const ReadingsSchema = z
  .strictObject({
    tokenEnv: environmentName()
      .optional()
      .describe('Environment variable that holds the token for POST /readings; needs `web`.'),
    tokenFile: path()
      .optional()
      .describe('File that holds the token for POST /readings, relative to this file; needs `web`.'),
    mqtt: MqttSchema.optional().describe('Sensors that publish over MQTT.'),
  })
  .prefault({})
  .describe('How measured temperatures come in, beside the command `readings`.');
