import { z } from 'zod';
import {
  broken,
  emailAddress,
  environmentName,
  httpUrl,
  label,
  path,
  quantity,
  wholeNumberFrom,
} from './field.ts';
import { brokerFields, topicRule } from './readings.ts';

const hostRule = broken('must be a host name or address such as "smtp.example.org"');

const EmailSchema = z.strictObject({
  host: z
    .string({ error: hostRule })
    .regex(/^[A-Za-z0-9.:_-]{1,253}$/, { error: hostRule })
    .describe('Name or address of the mail server.'),
  port: wholeNumberFrom(1, 65_535)
    .optional()
    .describe('Its port; without it, 587 for starttls, 465 for tls, 25 for none.'),
  security: z
    .enum(['none', 'starttls', 'tls'])
    .default('starttls')
    .describe('How the connection is protected.'),
  from: emailAddress().describe('Address the mail comes from.'),
  user: label().optional().describe('User name, where the server wants one.'),
  passwordEnv: environmentName().optional().describe('Environment variable that holds the password.'),
  passwordFile: path().optional().describe('File that holds the password, relative to this file.'),
});

const WebhookSchema = z.strictObject({
  url: httpUrl().describe('Where messages are posted.'),
  secretEnv: environmentName()
    .optional()
    .describe('Environment variable that holds the secret with which each message is signed (HMAC-SHA-256).'),
  secretFile: path().optional().describe('File that holds that secret, relative to this file.'),
  allowPrivate: z
    .boolean()
    .default(false)
    .describe('Whether the address may be one of your own network, such as 192.168.0.10.'),
});

const MqttStateSchema = z.strictObject({
  ...brokerFields(),
  topic: z
    .string({ error: topicRule })
    .regex(/^[^+#\0]{1,100}$/, { error: topicRule })
    .default('drainby')
    .describe('First levels of the topic; the place, the unit and the word `state` follow.'),
});

export const DeliverySchema = z
  .strictObject({
    email: EmailSchema.optional().describe('Send by e-mail.'),
    file: z
      .strictObject({ directory: path().describe('Where the messages are written, relative to this file.') })
      .optional()
      .describe('Write each message to a file.'),
    webhook: WebhookSchema.optional().describe('Post each message as JSON.'),
    mqtt: MqttStateSchema.optional().describe('Publish the state of every unit, retained, for machines.'),
    console: z.boolean().default(false).describe('Print each message.'),
    lease: quantity('duration', { from: '5 s', to: '1 h' })
      .prefault('15 min')
      .describe(
        'The longest that sending a message may take; a mail server may take ten minutes over one. What a killed process had in hand is taken over after a minute.',
      ),
  })
  .describe('The ways out; at least one.');
