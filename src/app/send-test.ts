/** A message that proves the way to a person, outside the outbox. */
import type { Config, PersonConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { openChannels } from '../delivery/open.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { testMessageText } from '../message/test-message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Surroundings } from './compose.ts';

export interface SendTestRequest {
  readonly config: Config;
  readonly surroundings: Surroundings;
  readonly person: string;
  readonly now: EpochSeconds;
  /** Makes this message different from any other test. */
  readonly nonce: string;
  readonly signal: AbortSignal;
}

/** Ids of the channels it went over. @throws UsageError, DeliveryError */
export async function sendTest(request: SendTestRequest): Promise<readonly string[]> {
  const { config, surroundings, signal } = request;
  const person = findPerson(config, request.person);
  const channels = openChannels(config.delivery, surroundings.env, surroundings.write);
  try {
    const sent: string[] = [];
    for (const id of person.channels) {
      const channel = channels.get(id);
      if (channel === undefined) continue;
      await channel.send(testMessage(request, person), signal);
      sent.push(id);
    }
    return sent;
  } finally {
    for (const channel of channels.values()) await channel.close();
  }
}

function findPerson(config: Config, id: string): PersonConfig {
  const person = config.people.find((p) => p.id === id);
  if (person !== undefined) return person;
  const known = config.people.map((p) => p.id).join(', ');
  throw new UsageError(`There is no person "${id}" in ${config.file}. Its people are: ${known || 'none'}.`);
}

function testMessage({ now, nonce }: SendTestRequest, person: PersonConfig): OutgoingMessage {
  return {
    messageId: `<test.${nonce}@drainby.invalid>`,
    kind: 'test',
    unit: 'none',
    action: 'nothing',
    startBy: null,
    cause: 'test',
    to: { id: person.id, name: person.name, email: person.email },
    createdAt: now,
    ...testMessageText({ name: person.name, timeZone: person.timeZone, now }),
  };
}
