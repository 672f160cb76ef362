/** Links as somebody would try them who has none, or who has one and wants more. */
import { once } from 'node:events';
import Database from 'better-sqlite3';
import * as fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import { ANSWERS } from '../../src/message/message.ts';
import { answerDesk } from '../../src/app/answer-desk.ts';
import { openStore } from '../../src/store/open.ts';
import { readForm } from '../../src/web/answer-form.ts';
import { linksOf, openToken, sealStatement } from '../../src/web/link.ts';
import { decodeStatement, encodeStatement, type Statement } from '../../src/web/statement.ts';
import { letter } from '../support/letter.ts';
import { recordingLog } from '../support/outbox.ts';
import { answerScene, formOf, open, send } from './answer-scene.ts';
import { dial, head } from './post.ts';

const KEY = Buffer.alloc(32, 7);
const SAID: Statement = {
  unit: 'blue',
  person: 'ann',
  episode: 'blue.2026-11-10T12:00:00Z',
  answer: 'drained-well',
  issued: 1_795_000_000,
  expires: 1_796_000_000,
};
const text = fc.string({ unit: 'grapheme', maxLength: 40 });
const statements = fc.record({
  unit: text,
  person: text,
  episode: text,
  answer: fc.constantFrom(...ANSWERS),
  issued: fc.integer({ min: 0, max: 2 ** 40 }),
  expires: fc.integer({ min: 0, max: 2 ** 40 }),
});

describe('a token', () => {
  it('says what was put into it', () => {
    fc.assert(
      fc.property(statements, (said) => {
        expect(decodeStatement(encodeStatement(said))).toEqual(said);
      }),
    );
  });

  it('is void with any bit changed, any letter cut off or added, or another key', () => {
    const token = sealStatement(SAID, KEY);
    expect(openToken(token, KEY, SAID.issued)).toEqual({ ok: true, statement: SAID });
    const bytes = Buffer.from(token, 'base64url');
    for (let bit = 0; bit < bytes.length * 8; bit++) {
      const edited = Buffer.from(bytes);
      edited[bit >> 3]! ^= 1 << (bit & 7);
      expect(openToken(edited.toString('base64url'), KEY, SAID.issued).ok, `bit ${bit}`).toBe(false);
    }
    for (const edited of [token.slice(0, -1), token.slice(1), `${token}A`, `${token}=`, ` ${token}`, '', '-'])
      expect(openToken(edited, KEY, SAID.issued).ok, edited).toBe(false);
    expect(openToken(token, Buffer.alloc(32, 8), SAID.issued).ok).toBe(false);
    expect(openToken('A'.repeat(1_000_000), KEY, SAID.issued).ok).toBe(false);
  });

  it('can be written in one way only: the spare bits of its last letter count, too', () => {
    const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';
    const token = sealStatement(SAID, KEY);
    const good = letters
      .split('')
      .filter((last) => openToken(token.slice(0, -1) + last, KEY, SAID.issued).ok);
    expect(good).toEqual([token.at(-1)]);
  });

  it('says nothing from its end on, and is not from the future for a clock that was put back since', () => {
    const token = sealStatement(SAID, KEY);
    expect(openToken(token, KEY, SAID.issued - 40 * 86_400)).toEqual({ ok: true, statement: SAID });
    expect(openToken(token, KEY, SAID.expires - 1).ok).toBe(true);
    expect(openToken(token, KEY, SAID.expires)).toMatchObject({ ok: false, why: 'expired' });
  });

  it('cannot move a letter from one name into the next', () => {
    const of = (unit: string, person: string): string => sealStatement({ ...SAID, unit, person }, KEY);
    expect(of('blue', 'ann')).not.toBe(of('bluea', 'nn'));
  });

  it('lasts 14 days from its message on, or as long as that where it is longer', () => {
    const link = linksOf({ publicUrl: 'https://x.example.org/d', key: KEY });
    const expires = (useBefore: number): number => {
      const url = link(letter({ createdAt: 1000.7, episode: 'e', useBefore }), 'checked') ?? '';
      expect(url).toMatch(/^https:\/\/x\.example\.org\/d\/a\/[\w-]+$/);
      const opened = openToken(url.split('/a/')[1] ?? '', KEY, 1000);
      return opened.ok ? opened.statement.expires : Number.NaN;
    };
    expect(expires(5000)).toBe(1000 + 14 * 86_400);
    expect(expires(9_000_000)).toBe(9_000_000);
  });
});

describe('the server', () => {
  it('tells nothing of what there is to whoever has no link, and lets them try but so often', async () => {
    const scene = await answerScene();
    const token = scene.link('drained-well').split('/a/')[1] ?? '';
    const tries = [
      `/a/${token.slice(0, -2)}`,
      `/a/${token}%00`,
      `/a/${token}/x`,
      '/a/',
      '/a/..%2f..%2fhealth',
      `/a/${encodeURIComponent('../../etc/passwd')}`,
      `/a/${'A'.repeat(7000)}`,
    ];
    for (const path of tries) {
      const page = await open(scene.address + path);
      expect([400, 404], path).toContain(page.status);
      expect(page.text, path).not.toMatch(/blue|Ann|creek|SQLITE|node:/);
    }
    const statuses = await Promise.all(
      Array.from({ length: 40 }, async () => (await open(`${scene.address}/a/AAAA`)).status),
    );
    expect(statuses).toContain(429);
    expect((await open(scene.link('drained-well'))).status, 'a good link').toBe(200);
    // Whoever watches has the same address where all come through a proxy, and is not to be alarmed by junk.
    expect((await open(`${scene.address}/health`)).status, 'health').toBe(503);
    expect((await open(`${scene.address}/health`)).text).toContain('No round has finished yet.');
  });

  it('takes from a form only what the form of its page can send', async () => {
    const scene = await answerScene();
    const url = scene.link('drained-well');
    const form = String(formOf((await open(url)).html));
    const type = { 'Content-Type': 'application/x-www-form-urlencoded' };
    const post = async (headers: Record<string, string>, body = form): Promise<number> =>
      (await open(url, { method: 'POST', headers, body })).status;
    expect(await post({ 'Content-Type': 'text/plain' })).toBe(415);
    expect(await post({ 'Content-Type': 'application/json' }, '{}')).toBe(415);
    expect(await post({ 'Content-Type': 'multipart/form-data; boundary=x' }, '--x--')).toBe(415);
    expect(await post({ ...type, Origin: 'https://evil.example.net' })).toBe(403);
    expect(await post({ ...type, 'Sec-Fetch-Site': 'cross-site' })).toBe(403);
    expect(await post(type, `${form}&x=${'y'.repeat(9000)}`)).toBe(413);
    expect((await scene.store.readUnit('blue'))?.water).toBeNull();
    expect(await post({ ...type, Origin: 'https://drainby.example.org' })).toBe(200);
  });

  it.each([
    [
      'unknown fields, and the same ones many times',
      `${'without-colour=x&'.repeat(400)}__proto__=1&constructor=2`,
    ],
    ['broken escapes', '%=%%&%E0%A4%A&shown=%00'],
    ['numbers out of all bounds', 'shown=999999999999999999999&percent=1e999&used=-5'],
    ['a circuit that is none', 'shown=0&without-colour=..%2F..%2Fetc'],
    ['line ends', 'shown=0%0d%0aSet-Cookie:+x=1&percent=5%0d%0aX: y'],
  ])('is not upset by %s', async (_what, body) => {
    const scene = await answerScene();
    const page = await send(scene.link('winterized-colour'), body);
    expect([200, 409, 422]).toContain(page.status);
    expect(page.headers.has('set-cookie')).toBe(false);
    expect(scene.log.filter(({ level }) => level === 'error')).toEqual([]);
  });

  it('does not wait for a body that never comes', async () => {
    const scene = await answerScene();
    const path = new URL(scene.link('drained-well')).pathname;
    const lines = ['Content-Type: application/x-www-form-urlencoded', 'Content-Length: 20'];
    const { socket, ended } = await dial(scene.port);
    socket.write(`${head(lines, 'POST', path)}shown`);
    socket.end();
    await ended;
    expect((await scene.store.readUnit('blue'))?.water).toBeNull();
  });

  it('waits for a database that is locked for a moment, and serves others meanwhile', async () => {
    const scene = await answerScene();
    const url = scene.link('drained-well');
    const form = formOf((await open(url)).html);
    const holder = new Database(scene.config.store.path);
    onTestFinished(() => void holder.close());
    holder.exec('begin immediate');
    const waiting = send(url, form);
    await once(await heldUp(scene.port, new URL(url).pathname), 'data');
    holder.exec('rollback');
    expect((await waiting).status).toBe(200);
    expect((await scene.store.readUnit('blue'))?.answers).toHaveLength(1);
  });

  it('says "try again" when the database stays locked, keeps nothing by halves, and takes it afterwards', async () => {
    const scene = await answerScene({ lockWaitMs: 100 });
    const url = scene.link('drained-well');
    const form = formOf((await open(url)).html);
    const holder = new Database(scene.config.store.path);
    onTestFinished(() => void holder.close());
    holder.exec('begin immediate');
    const page = await send(url, form);
    expect([page.status, page.headers.get('retry-after')]).toEqual([503, '60']);
    expect(page.text).toMatch(/was not kept: try again in a minute, or say it by "drainby mark"/);
    expect((await open(url)).status, 'looking').toBe(200);
    holder.exec('rollback');
    expect((await send(url, form)).text).toContain('Kept: “Drained well”');
    expect((await scene.store.readUnit('blue'))?.answers).toHaveLength(1);
  });

  it('keeps one answer of two daemons that get the same press', async () => {
    const scene = await answerScene();
    const url = scene.link('drained-well');
    const form = formOf((await open(url)).html);
    const second = await openStore(scene.config.store.path);
    onTestFinished(() => second.close());
    const now = (): number => Date.parse(scene.now()) / 1000;
    const desk = answerDesk({
      config: scene.config,
      store: second,
      now,
      log: recordingLog(),
      onAnswer: () => undefined,
    });
    expect(Buffer.from(await desk.key()).equals(scene.key)).toBe(true);
    const opened = openToken(url.split('/a/')[1] ?? '', scene.key, now());
    if (!opened.ok) throw new Error('void');
    await Promise.all([
      send(url, form),
      desk.give(opened.statement, readForm(String(form)), 'another press'),
    ]);
    expect((await scene.store.readUnit('blue'))?.answers).toHaveLength(1);
    expect((await scene.store.readMoments('blue', 0)).filter(({ cause }) => cause === 'mark')).toHaveLength(
      1,
    );
  });
});

/** A second request on a connection of its own; what it hears tells that the server is not held up. */
async function heldUp(port: number, path: string) {
  const { socket } = await dial(port);
  socket.write(head([], 'GET', path));
  return socket;
}
