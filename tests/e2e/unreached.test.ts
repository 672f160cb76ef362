/** Who cannot be reached: the next way, the manager of the place, `check` and its exit code. */
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { isoSecond, parseInstant } from '../../src/quantity/instant.ts';
import { startReceiver } from '../support/receiver.ts';
import { ANN, BLUE, CREEK, coldComes, header, inspect, setScene, email, type Written } from './scene.ts';

const NOW = parseInstant('2026-11-25T18:00:00Z') ?? Number.NaN;
const at = (hours: number): string => isoSecond(NOW + hours * 3600);
const once = (hours: number): string[] => ['--once', '--now', at(hours)];
const REFUSAL = { at: 'rcpt', code: 550, text: 'no such person' } as const;
const LATER = { at: 'rcpt', code: 451, text: 'come back later' } as const;
const BOB = { ...ANN, id: 'bob', name: 'Bob Example', email: 'bob@example.org' };
const MANAGED = [{ ...CREEK, managers: ['bob'] }];

const pinned = (smtp = {}, config: Written = {}) => setScene({ weather: coldComes(() => NOW), smtp, config });

function written(directory: string): string[] {
  const sent = join(directory, 'sent');
  return readdirSync(sent).map((name) => readFileSync(join(sent, name), 'utf8'));
}

it('a person whose mail is refused gets the file that comes next, and nothing is undelivered', async () => {
  const scene = await pinned({ script: [REFUSAL] });
  const delivery = { email: email(scene.smtp.port), file: { directory: './sent' } };
  scene.configure({ delivery, people: [{ ...ANN, channels: ['email', 'file'] }] });
  expect((await scene.run('start', ...once(0))).exit).toBe(0);
  const { outbox } = inspect(scene.store);
  expect(outbox.map((row) => [row.state, row.message.messageId])).toEqual([
    ['failed', outbox[0]?.message.messageId],
    ['sent', outbox[0]?.message.messageId],
  ]);
  expect(written(scene.directory)).toEqual([expect.stringContaining(outbox[0]?.message.messageId ?? '?')]);
  expect((await scene.run('check', '--now', at(1))).exit).toBe(0);
  expect((await scene.run('start', ...once(7))).exit).toBe(0);
  expect(scene.smtp.connections()).toBe(1);
});

it('a person whose mail server puts off for ever gets the file within hours, once', async () => {
  const scene = await pinned({ script: Array.from({ length: 50 }, () => LATER) });
  const delivery = { email: email(scene.smtp.port), file: { directory: './sent' } };
  scene.configure({ delivery, people: [{ ...ANN, channels: ['email', 'file'] }] });
  expect((await scene.run('start', ...once(0))).exit).toBe(4);
  expect((await scene.run('start', ...once(0.4))).exit).toBe(4);
  expect(inspect(scene.store).outbox).toHaveLength(1);
  expect((await scene.run('start', ...once(6.1))).exit).toBe(0);
  expect((await scene.run('start', ...once(7))).exit).toBe(0);
  expect(written(scene.directory)).toHaveLength(1);
  expect(inspect(scene.store).outbox.map(({ state }) => state)).toEqual(['superseded', 'sent']);
});

it('check says at 80 columns who was not told, in JSON as well, and ends with 4', async () => {
  const scene = await pinned({ script: [REFUSAL] });
  const first = await scene.run('start', ...once(0));
  expect(first.exit).toBe(4);
  expect(first.stderr).toContain('The message was refused for good. Tell the person another way.');

  const text = await scene.run('check', '--now', at(0.5));
  expect(text.exit).toBe(4);
  const said = text.stdout.replaceAll(/\s+/g, ' ');
  expect(said).toContain(
    'NOT TOLD: Ann Example has heard nothing of Blue trailer, given up on Wed 25 Nov, 11:00 MST.',
  );
  expect(said).toContain('550 no such person. Tell them another way.');
  for (const line of text.stdout.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
  const json = JSON.parse((await scene.run('check', '--json', '--now', at(0.5))).stdout) as {
    delivery: object;
  };
  const error = expect.stringContaining('delivery-refused') as string;
  const ann = {
    unit: 'blue',
    person: 'ann',
    name: 'Ann Example',
    kind: 'act',
    at: at(0),
    trying: false,
    error,
  };
  expect(json.delivery).toEqual({ waiting: 0, retrying: 0, lost: 1, unreached: [ann] });
});

it('a manager hears once that an owner could not be reached', async () => {
  const scene = await pinned({ script: [REFUSAL] }, { places: MANAGED, people: [ANN, BOB] });
  await scene.run('start', ...once(0));
  const second = await scene.run('start', ...once(1));
  expect(second.exit).toBe(4);
  expect(second.stderr).toContain('Nothing has reached this person.');
  expect((await scene.run('start', ...once(2))).exit).toBe(4);
  const told = scene.smtp.messages.map((m) => [m.to.join(), header(m, 'x-drainby-kind')]);
  expect(told).toEqual([
    ['bob@example.org', 'act'],
    ['bob@example.org', 'unreached'],
  ]);
  expect(scene.smtp.messages[1]?.mail.text).toContain('Ann Example');
});

it('a manager whose list gathers it hears in it who was not reached, though a program took its copies', async () => {
  const scene = await pinned({ refuses: (address: string) => (address === ANN.email ? REFUSAL : null) });
  const hook = await startReceiver();
  const webhook = { url: `http://127.0.0.1:${hook.port}/x`, allowPrivate: true };
  const units = [BLUE, { ...BLUE, id: 'red', label: 'Red trailer' }];
  const delivery = { email: email(scene.smtp.port), webhook };
  scene.configure({ places: MANAGED, units, people: [ANN, BOB], delivery });
  await scene.run('start', ...once(0));
  const [first] = scene.smtp.messages;
  expect(first?.mail.text?.replace(/\s+/g, ' ')).toMatch(/of work; in use; Ann Example; id \w+\./);
  const second = await scene.run('start', ...once(1));
  expect(second.exit).toBe(4);
  expect(second.stderr).toContain('Nothing has reached this person.');
  const list = scene.smtp.messages.at(-1);
  expect(list?.mail.subject).toContain('Ann Example not reached');
  // In the first line and in both rows.
  expect(list?.mail.text?.match(/Ann\s+Example\s+not\s+reached:\s+\w/g)).toHaveLength(3);
});

it('without a manager nobody else is told, and every run ends with 4 until the address is mended', async () => {
  const scene = await pinned({ script: [REFUSAL] });
  await scene.run('start', ...once(0));
  expect((await scene.run('start', ...once(1))).exit).toBe(4);
  expect(inspect(scene.store).outbox).toHaveLength(1);
  scene.configure({ people: [{ ...ANN, email: 'ann.example@example.org' }] });
  expect((await scene.run('start', ...once(2))).exit).toBe(0);
  expect((await scene.run('check', '--now', at(2))).exit).toBe(0);
});

it('a manager of many units gets one mail, and each owner their own', async () => {
  const units = ['blue', 'red', 'green'].map((id) => ({
    ...BLUE,
    id,
    label: `The ${id} one`,
    contacts: [id],
  }));
  const owners = units.map(({ id }) => ({ ...ANN, id, name: `Owner ${id}`, email: `${id}@example.org` }));
  const scene = await pinned({}, { places: MANAGED, units, people: [...owners, BOB] });
  expect((await scene.run('start', ...once(0))).exit).toBe(0);
  expect(scene.smtp.messages.map(({ to }) => to.join()).toSorted()).toEqual(
    ['blue', 'bob', 'green', 'red'].map((id) => `${id}@example.org`),
  );
  const list = scene.smtp.messages.find(({ to }) => to.join() === 'bob@example.org');
  for (const { label } of units) expect(list?.mail.text).toContain(label);
  for (const id of ['blue', 'red', 'green']) {
    const own = scene.smtp.messages.find(({ to }) => to.join() === `${id}@example.org`);
    for (const { label } of units.filter((unit) => unit.id !== id))
      expect(own?.mail.text).not.toContain(label);
  }
  expect(inspect(scene.store).outbox).toHaveLength(6);
});

it('a daemon tells the manager at once, without waiting for its schedule', async () => {
  const scene = await setScene({
    smtp: { script: [REFUSAL] },
    config: { places: MANAGED, people: [ANN, BOB], units: [{ ...BLUE, contacts: ['ann'] }] },
  });
  const daemon = scene.start();
  const kinds = new Set<string>();
  while (!kinds.has('unreached')) kinds.add(header(await scene.smtp.next(), 'x-drainby-kind'));
  daemon.kill('SIGTERM');
  expect((await daemon.ended).exit).toBe(0);
});
