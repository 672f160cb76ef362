import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { simpleParser } from 'mailparser';
import { expect, it, onTestFinished } from 'vitest';
import { openEmail } from '../../src/delivery/email.ts';
import { openFile } from '../../src/delivery/file.ts';
import { letter } from '../support/letter.ts';
import { startSmtp } from '../support/smtp.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const NEVER = new AbortController().signal;
const FROM = { name: 'Drain watch', address: 'drainby@example.org' };
const FIRST = '20261125T083000Z-blue-act-ann-1.eml';

it('writes each attempt as one file in a directory that it makes, and overwrites nothing', async () => {
  const directory = join(temporaryDirectory(), 'mail', 'sent');
  const channel = openFile({ directory, from: FROM });
  await channel.send(letter(), NEVER);
  await channel.send(letter(), NEVER);
  expect(readdirSync(directory).toSorted()).toEqual([FIRST, FIRST.replace('-1.eml', '-2.eml')]);
});

it('gives every one of many writers at once a file of its own', async () => {
  const directory = temporaryDirectory();
  const channels = Array.from({ length: 8 }, () => openFile({ directory, from: FROM }));
  await Promise.all(
    channels.map((channel, index) => channel.send(letter({ subject: `number ${index}` }), NEVER)),
  );
  const names = readdirSync(directory);
  expect(names.filter((name) => name.endsWith('.part'))).toEqual([]);
  const contents = names.map((name) => readFileSync(join(directory, name), 'utf8'));
  expect(contents.map((text) => /number \d/.exec(text)?.[0] ?? '').toSorted()).toEqual(
    channels.map((_channel, index) => `number ${index}`),
  );
});

it('passes over a half-written file that a killed process left', async () => {
  const directory = temporaryDirectory();
  writeFileSync(join(directory, `.${FIRST}.part`), 'half');
  await openFile({ directory, from: FROM }).send(letter(), NEVER);
  expect(readdirSync(directory)).toContain(FIRST.replace('-1.eml', '-2.eml'));
});

it('writes the MIME that e-mail sends', async () => {
  const smtp = await startSmtp();
  onTestFinished(() => smtp.close());
  const directory = temporaryDirectory();
  await openFile({ directory, from: FROM }).send(letter(), NEVER);
  const config = {
    host: '127.0.0.1',
    port: smtp.port,
    security: 'none',
    user: null,
    password: null,
  } as const;
  const email = openEmail({ ...config, from: 'Drain watch <drainby@example.org>' }, { env: {} });
  await email.send(letter(), NEVER);
  const written = readFileSync(join(directory, FIRST), 'utf8');
  expect(written.trimEnd()).toBe((await smtp.next()).raw.trimEnd());
  const mail = await simpleParser(written);
  expect(mail.text?.trimEnd()).toBe('Hard cold comes tonight: −9 °C.\n\nStart by 10:30.');
  expect(mail.html).toContain('Start by 10:30.');
  expect(mail.headers.get('x-drainby-start-by')).toBe('2026-11-25T10:30:00Z');
});

it('serves a person who has no e-mail address', async () => {
  const directory = temporaryDirectory();
  const to = { id: 'ann', name: 'Ann Example', email: null };
  await openFile({ directory, from: FROM }).send(letter({ to }), NEVER);
  const mail = await simpleParser(readFileSync(join(directory, FIRST)));
  expect(mail.to).toMatchObject({ value: [{ name: 'Ann Example', address: 'ann@drainby.invalid' }] });
});

it('stays in its directory whatever a unit is called', async () => {
  const directory = join(temporaryDirectory(), 'sent');
  const to = { id: '..', name: 'Ann', email: null };
  await openFile({ directory, from: FROM }).send(
    letter({ unit: `../../etc/${'x'.repeat(300)}\n`, to }),
    NEVER,
  );
  const [name, ...others] = readdirSync(directory);
  expect(others).toEqual([]);
  expect(name).toMatch(/^20261125T083000Z-etc-x+-act-x-1\.eml$/);
  expect(name!.length).toBeLessThan(150);
});

it('says that another attempt may help when the directory cannot be written', async () => {
  const blocked = join(temporaryDirectory(), 'blocked');
  mkdirSync(blocked);
  writeFileSync(join(blocked, 'sent'), 'a file where the directory should be');
  const channel = openFile({ directory: join(blocked, 'sent'), from: FROM });
  await expect(channel.send(letter(), NEVER)).rejects.toMatchObject({
    code: 'delivery-unreachable',
    retryable: true,
  });
});
