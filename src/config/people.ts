import { z } from 'zod';
import { clockSpan, emailAddress, id, label, quantity, timeZone } from './field.ts';

export const CHANNEL_IDS = ['email', 'file', 'console'] as const;

const PersonSchema = z.strictObject({
  id: id().describe('Name by which units refer to this person.'),
  name: label().describe('Name for the salutation.'),
  email: emailAddress().optional().describe('Address for e-mail.'),
  temperature: z.enum(['F', 'C']).optional().describe('Unit of temperature this person reads.'),
  timeZone: timeZone()
    .optional()
    .describe("Time zone this person reads; without it, that of their unit's place."),
  quiet: clockSpan().optional().describe('Hours in which only what cannot wait is sent; may pass midnight.'),
  headsUp: quantity('duration', { from: '1 h', to: '16 d' })
    .optional()
    .describe('How far ahead this person wants a heads-up; without it, 5 d.'),
  channels: z
    .array(z.enum(CHANNEL_IDS))
    .min(1, { error: 'must name at least one channel, found an empty list' })
    .optional()
    .describe('Which ways out to use; without it, all that can reach this person.'),
});

export const PeopleSchema = z
  .array(PersonSchema)
  .min(1, { error: 'must hold at least one person, found an empty list' })
  .describe('Who hears of it.');
