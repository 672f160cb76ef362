import { readdirSync } from 'node:fs';
import { expect, it } from 'vitest';
import type { DeliveryConfig } from '../../src/config/config.ts';
import { openChannels, type ChannelsOptions } from '../../src/delivery/open.ts';
import { withAnswerLinks, type AnswerLink } from '../../src/message/answer-links.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { letter, NOW } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const NEVER = new AbortController().signal;
const EMAIL = {
  host: '127.0.0.1',
  port: 25,
  security: 'none',
  from: 'drainby@example.org',
  user: null,
  password: null,
} as const;
const NONE = { email: null, file: null, webhook: null, mqtt: null, console: false, leaseSeconds: 60 };

function opened(over: Partial<DeliveryConfig>, options: Partial<ChannelsOptions> = {}) {
  return openChannels(
    { ...NONE, ...over },
    {
      env: {},
      now: () => NOW,
      write: () => undefined,
      onTrouble: () => undefined,
      linked: async (message) => message,
      units: null,
      installation: Promise.resolve('otter'),
      ...options,
    },
  );
}

it('opens the channels that the config names, and no other', () => {
  const channels = (over: Partial<DeliveryConfig>): string[] => [...opened(over).keys()];
  expect(channels({})).toEqual([]);
  expect(channels({ console: true })).toEqual(['console']);
  const webhook = { url: 'https://example.org/', secret: null, allowPrivate: false };
  expect(channels({ email: EMAIL, webhook, file: { directory: './sent' }, console: true })).toEqual([
    'text',
    'email',
    'webhook',
    'file',
    'console',
  ]);
  // Without units there is no state to tell, and nobody connects.
  const mqtt = { url: 'mqtt://127.0.0.1:1', user: null, password: null, topic: 'drainby' };
  expect(channels({ mqtt })).toEqual([]);
});

it('writes files without an e-mail server in the config', async () => {
  const directory = temporaryDirectory();
  const channels = opened({ file: { directory } });
  await channels.get('file')!.send(letter(), NEVER);
  expect(readdirSync(directory)).toHaveLength(1);
});

it('hands the console the text in one piece, without anything that commands a terminal', async () => {
  const written: string[] = [];
  const channels = opened({ console: true }, { write: (text) => written.push(text) });
  const text = 'Start by 10:30.\r\n\tDrain \u001B[31mthe heater.\n\n';
  await channels.get('console')!.send(letter({ text, subject: 'Drain\nBlue \u001B]0;title\u0007' }), NEVER);
  expect(written).toEqual([
    'To: Ann Example\nSubject: Drain Blue ]0;title\n\nStart by 10:30.\n\tDrain [31mthe heater.\n\n',
  ]);
});

it('gives every channel the links by which readers answer, or leaves no trace of them', async () => {
  const text = 'Done?\ndrainby-answer:drained-well\n';
  const written: string[] = [];
  const write = (more: string): void => {
    written.push(more);
  };
  const linking = (link: AnswerLink | null) => async (message: OutgoingMessage) =>
    withAnswerLinks(message, link);
  const some = linking((_message, answer) => `https://example.org/${answer}`);
  await opened({ console: true }, { write, linked: some }).get('console')!.send(letter({ text }), NEVER);
  await opened({ console: true }, { write, linked: linking(null) })
    .get('console')!
    .send(letter({ text }), NEVER);
  expect(written[0]).toContain('\nDone?\nhttps://example.org/drained-well\n');
  expect(written[1]).toMatch(/\n\nDone\?\n\n$/);
});
