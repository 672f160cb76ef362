import { readdirSync } from 'node:fs';
import { expect, it } from 'vitest';
import { openChannels } from '../../src/delivery/open.ts';
import { letter } from '../support/letter.ts';
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

it('opens the channels that the config names, and no other', () => {
  const channels = (over: object): string[] => [
    ...openChannels({ ...NONE, ...over }, {}, () => undefined).keys(),
  ];
  expect(channels({})).toEqual([]);
  expect(channels({ console: true })).toEqual(['console']);
  expect(channels({ email: EMAIL, file: { directory: './sent' }, console: true })).toEqual([
    'email',
    'file',
    'console',
  ]);
});

it('writes files without an e-mail server in the config', async () => {
  const directory = temporaryDirectory();
  const channels = openChannels({ ...NONE, file: { directory } }, {}, () => undefined);
  await channels.get('file')!.send(letter(), NEVER);
  expect(readdirSync(directory)).toHaveLength(1);
});

it('hands the console the text in one piece, without anything that commands a terminal', async () => {
  const written: string[] = [];
  const channels = openChannels({ ...NONE, console: true }, {}, (text) => written.push(text));
  const text = 'Start by 10:30.\r\n\tDrain \u001B[31mthe heater.\n\n';
  await channels.get('console')!.send(letter({ text, subject: 'Drain\nBlue \u001B]0;title\u0007' }), NEVER);
  expect(written).toEqual([
    'To: Ann Example\nSubject: Drain Blue ]0;title\n\nStart by 10:30.\n\tDrain [31mthe heater.\n\n',
  ]);
});
