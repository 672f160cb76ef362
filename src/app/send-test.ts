/** A message that proves the way to a person, outside the outbox. */
import type { Config, PersonConfig } from '../config/config.ts';
import { DeliveryError, UsageError } from '../errors.ts';
import { openChannels } from '../delivery/open.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { testMessageText } from '../message/test-message.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
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

/**
 * Tries every way to the person, also when one fails. Ids of the channels it went over.
 *
 * @throws UsageError; DeliveryError of the first channel that failed
 */
export async function sendTest(request: SendTestRequest): Promise<readonly string[]> {
  const { config, surroundings, now, signal } = request;
  const person = findPerson(config, request.person);
  const failures: DeliveryError[] = [];
  const onTrouble = (): void => undefined;
  // It offers no answers.
  const linked = (message: OutgoingMessage): Promise<OutgoingMessage> => Promise.resolve(message);
  const installation = Promise.resolve('');
  const options = { ...surroundings, now: () => now, linked, units: null, installation, onTrouble };
  const channels = openChannels(config.delivery, options);
  try {
    const sent: string[] = [];
    for (const id of new Set([...person.channels, ...person.urgent])) {
      const channel = channels.get(id);
      if (channel === undefined) continue;
      try {
        await channel.send(testMessage(request, person), signal);
        sent.push(id);
      } catch (error) {
        if (!(error instanceof DeliveryError)) throw error;
        failures.push(error);
      }
    }
    throwFirst(failures, sent);
    return sent;
  } finally {
    for (const channel of channels.values()) await channel.close();
  }
}

function throwFirst(failures: readonly DeliveryError[], sent: readonly string[]): void {
  const [first] = failures;
  if (first === undefined) return;
  const { code, retryable, hint } = first;
  const others = sent.length === 0 ? '' : ` Handed over to: ${sent.join(', ')}.`;
  const message = `${failures.map((failure) => failure.message).join(' ')}${others}`;
  throw new DeliveryError(code, message, { retryable, ...(hint === null ? {} : { hint }), cause: first });
}

function findPerson(config: Config, id: string): PersonConfig {
  const person = config.people.find((p) => p.id === id);
  if (person !== undefined) return person;
  const known = config.people.map((p) => p.id).join(', ');
  throw new UsageError(`There is no person "${id}" in ${config.file}. Its people are: ${known || 'none'}.`);
}

/** A receiver that acts on messages is not to take it for news tomorrow. */
const TEST_VALID_S = HOUR_S;

function testMessage({ now, nonce }: SendTestRequest, person: PersonConfig): OutgoingMessage {
  return {
    messageId: `<test.${nonce}@drainby.invalid>`,
    kind: 'test',
    unit: 'none',
    action: 'nothing',
    startBy: null,
    cause: 'test',
    to: { id: person.id, name: person.name, email: person.email, text: person.text },
    createdAt: now,
    useBefore: now + TEST_VALID_S,
    ...testMessageText({ name: person.name, timeZone: person.timeZone, now }),
  };
}
