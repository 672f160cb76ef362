/** A daemon, a link as a message would hold it, a press of its button, and the round that follows at once. */
import { createServer, type AddressInfo } from 'node:net';
import { once } from 'node:events';
import Database from 'better-sqlite3';
import { expect, it, onTestFinished } from 'vitest';
import type { AnswerCode } from '../../src/message/message.ts';
import { openReader } from '../../src/store/reader.ts';
import { openStore } from '../../src/store/open.ts';
import { linksOf } from '../../src/web/link.ts';
import { open, press, formOf, send } from '../web/answer-scene.ts';
import { ROUND_DONE } from './program.ts';
import { ANN, BLUE, header, inspect, setScene } from './scene.ts';

const BEN = { ...ANN, id: 'ben', name: 'Ben Example', email: 'ben@example.org' };
const ROUND_FAILED = 'The round failed; it is run again in five minutes.';
const SERVED = 'Readings are taken over HTTP.';

async function freePort(): Promise<number> {
  const held = createServer().listen(0, '127.0.0.1');
  await once(held, 'listening');
  const { port } = held.address() as AddressInfo;
  held.close();
  await once(held, 'close');
  return port;
}

async function daemonWithLinks() {
  const listen = `127.0.0.1:${await freePort()}`;
  const scene = await setScene({
    config: {
      units: [{ ...BLUE, contacts: ['ann', 'ben'] }],
      people: [ANN, BEN],
      web: { listen, publicUrl: `http://${listen}` },
    },
  });
  const daemon = scene.start();
  await daemon.logged(SERVED);
  await daemon.logged(ROUND_DONE);
  await scene.smtp.next();
  await scene.smtp.next();
  const store = await openStore(scene.store);
  onTestFinished(() => store.close());
  const key = await store.linkKey(Math.floor(Date.now() / 1000));
  const links = linksOf({ publicUrl: `http://${listen}`, key });
  const link = (person: string, answer: AnswerCode): string => {
    const row = inspect(scene.store).outbox.find((r) => r.person === person);
    if (row === undefined) throw new Error(`nothing was told to ${person}`);
    return links(row.message, answer) ?? '';
  };
  return { scene, daemon, store, link };
}

it('an answer is followed by a round, which tells those who were told that it is over', async () => {
  const { scene, daemon, link } = await daemonWithLinks();
  expect((await press(link('ann', 'winterized-colour'), { percent: '40' })).status).toBe(200);
  expect(await daemon.logged('An answer came by a link and was kept.')).toMatchObject({
    unit: 'blue',
    person: 'ann',
  });
  await daemon.logged(ROUND_DONE);
  const { exit, stdout } = await scene.run('check', '--json');
  const [unit] = (JSON.parse(stdout) as { units: object[] }).units;
  expect([exit, unit]).toEqual([0, expect.objectContaining({ waterState: 'antifreeze' })]);
  expect(unit).toMatchObject({ advice: { action: 'nothing' } });
  daemon.kill('SIGTERM');
  expect((await daemon.ended).exit).toBe(0);
});

it('"winterized" alone is asked how, on the page and in the next round, and the traps stay full', async () => {
  const { daemon, link } = await daemonWithLinks();
  const page = await press(link('ann', 'winterized'));
  expect(page.text).toMatch(
    /How was it winterized\?.*colour seen at every faucet.*air, traps and pump done.*air only/,
  );
  await daemon.logged(ROUND_DONE);
  const [href = ''] = /href="([\w-]+)"/.exec(page.html)?.slice(1) ?? [];
  const next = await press(new URL(href, link('ann', 'winterized')).href);
  expect([next.status, next.text]).toEqual([200, expect.stringContaining('Kept: “Winterized, colour seen')]);
});

it('a daemon that is killed right after a press has kept it', async () => {
  const { scene, daemon, link } = await daemonWithLinks();
  const url = link('ben', 'drained-quickly');
  const form = formOf((await open(url)).html);
  expect((await send(url, form)).status).toBe(200);
  daemon.kill('SIGKILL');
  await daemon.ended;
  const again = scene.start();
  await again.logged(SERVED);
  expect((await send(url, form)).text).toContain('kept already');
});

it('a daemon whose rounds fail, also the one after an answer, stops when it is told to', async () => {
  const listen = `127.0.0.1:${await freePort()}`;
  const scene = await setScene({ config: { web: { listen } } });
  await scene.run('start', '--once');
  const store = await openStore(scene.store);
  const now = (): number => Math.floor(Date.now() / 1000);
  const links = linksOf({ publicUrl: `http://${listen}`, key: await store.linkKey(now()) });
  await store.close();
  const database = new Database(scene.store);
  database.exec('drop table place_record');
  database.close();
  const daemon = scene.start();
  await daemon.logged(SERVED);
  await daemon.logged(ROUND_FAILED);
  const [told] = inspect(scene.store).outbox;
  if (told === undefined) throw new Error('nothing was told');
  expect((await press(links(told.message, 'drained-well') ?? '')).status).toBe(200);
  await daemon.logged(ROUND_FAILED);
  daemon.kill('SIGTERM');
  const { exit, stderr } = await daemon.ended;
  expect([exit, stderr]).toEqual([0, expect.not.stringContaining('Stopping took too long')]);
});

it('what only looks makes no key, and none is made where no pages are served', async () => {
  const web = { listen: '127.0.0.1:1', publicUrl: 'https://drainby.example.org' };
  const scene = await setScene({ config: { web } });
  await scene.run('check');
  expect(await openReader(scene.store)).toBeNull();
  scene.configure({});
  await scene.run('start', '--once');
  expect(keys(scene.store)).toBe(0);
  scene.configure({ web });
  await scene.run('start', '--once');
  expect(keys(scene.store)).toBe(1);
  expect(header(await scene.smtp.next(), 'x-drainby-unit')).toBe('blue');
});

it.each([
  ['none, where only this machine reaches what is listened on', undefined, false],
  ['some, where the config says what readers reach', 'https://drainby.example.org/lot', true],
])('messages offer %s', async (_what, publicUrl, offered) => {
  const web = { listen: '127.0.0.1:8787', ...(publicUrl === undefined ? {} : { publicUrl }) };
  const scene = await setScene({ config: { web } });
  await scene.run('start', '--once');
  const { mail, raw } = await scene.smtp.next();
  expect(raw).not.toMatch(/127\.0\.0\.1:8787|drainby-answer:/);
  expect(mail.text?.includes('https://drainby.example.org/lot/a/')).toBe(offered);
  // Who gets no links is told the commands.
  expect(mail.text?.includes('drainby mark -c FILE blue')).toBe(!offered);
});

function keys(path: string): number {
  const database = new Database(path, { readonly: true });
  try {
    return database.prepare('select * from signing_key').all().length;
  } finally {
    database.close();
  }
}
