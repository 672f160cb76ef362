import { z } from 'zod';
import { clockSpan, emailAddress, freeTime, id, label, quantity, timeZone } from './field.ts';

export const CHANNEL_IDS = ['text', 'email', 'webhook', 'mqtt', 'file', 'console'] as const;

/** Ways out that carry messages to people; what goes to a broker is the state of units, for machines. */
const TO_PEOPLE = ['text', 'email', 'webhook', 'file', 'console'] as const;

const channels = () =>
  z.array(z.enum(TO_PEOPLE)).min(1, { error: 'must name at least one channel, found an empty list' });

const WordsSchema = {
  faucet: z.enum(['faucet', 'tap']),
  trailer: z.enum(['trailer', 'caravan']),
  gas: z.enum(['propane', 'gas']),
};

const PersonSchema = z.strictObject({
  id: id().describe('Name by which units refer to this person.'),
  name: label().describe('Name for the salutation.'),
  email: emailAddress().optional().describe('Address for e-mail.'),
  text: emailAddress()
    .optional()
    .describe('Address at a gateway that makes text messages of short mails; needs delivery.email.'),
  temperature: z.enum(['F', 'C']).optional().describe('Unit of temperature this person reads.'),
  words: z
    .strictObject({
      faucet: WordsSchema.faucet.optional().describe('What this person calls a faucet.'),
      trailer: WordsSchema.trailer.optional().describe('What this person calls a trailer.'),
      gas: WordsSchema.gas.optional().describe('What this person calls propane.'),
    })
    .prefault({})
    .describe('Words this person is used to; without them, those of `display`.'),
  timeZone: timeZone()
    .optional()
    .describe("Time zone this person reads; without it, that of their unit's place."),
  quiet: clockSpan().optional().describe('Hours in which only what cannot wait is sent; may pass midnight.'),
  headsUp: quantity('duration', { from: '1 h', to: '16 d' })
    .optional()
    .describe('How far ahead this person wants a heads-up; without it, 5 d.'),
  free: z
    .array(freeTime())
    .min(1, { error: 'must name at least one span, found an empty list' })
    .optional()
    .describe('When this person can do the work; without it, at any hour.'),
  channels: channels()
    .optional()
    .describe(
      'Ways out in order: the first that takes a message has done it. Without it, all that can reach this person are used at once.',
    ),
  urgent: channels().optional().describe('The order for what cannot wait; without it, that of `channels`.'),
  stillWatching: z
    .boolean()
    .default(false)
    .describe('Whether this person gets a line once a week that says that the units are watched.'),
});

export const PeopleSchema = z
  .array(PersonSchema)
  .min(1, { error: 'must hold at least one person, found an empty list' })
  .describe('Who hears of it.');
