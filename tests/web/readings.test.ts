/** `POST /readings` and `GET /health` through a real socket. Status codes as RFC 9110 means them. */
import { once } from 'node:events';
import { createServer, type AddressInfo } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { StoreError } from '../../src/errors.ts';
import { keepWeb, openWeb } from '../../src/web/server.ts';
import { NOW } from '../support/letter.ts';
import { recordingLog } from '../support/outbox.ts';
import { TOKEN, WITH_TOKEN, dial, head, post, serve } from './post.ts';

const WELL = { lastRoundAt: NOW, reasons: [] };
const ONE = { place: 'creek', temperatureC: -3.5 };
const TAKEN = { place: 'creek', unit: null, zone: null, temperature: -3.5, scale: 'C', at: NOW };

describe('posting', () => {
  it('one reading or many hands them on and answers with what became of them', async () => {
    const web = await serve();
    expect(await post(web, ONE)).toMatchObject({ status: 200, body: { added: 1, replaced: 0, known: 0 } });
    const many = [ONE, { unit: 'blue', zone: 'inside', temperatureF: 60, at: '2026-11-25T01:00:00-07:00' }];
    expect(await post(web, many)).toMatchObject({ status: 200, body: { added: 2 } });
    const inside = { place: null, unit: 'blue', zone: 'inside', temperature: 60, scale: 'F', at: NOW - 1800 };
    expect(web.taken).toEqual([[TAKEN], [TAKEN, inside]]);
  });

  it('many at once from many connections loses none', async () => {
    const web = await serve();
    const replies = await Promise.all(
      Array.from({ length: 40 }, (_, i) => post(web, { ...ONE, temperatureC: i })),
    );
    expect(new Set(replies.map(({ status }) => status))).toEqual(new Set([200]));
    const temperatures = web.taken.flatMap((posted) => posted.map((one) => one?.temperature));
    expect(temperatures.toSorted((a, b) => Number(a) - Number(b))).toEqual(
      Array.from({ length: 40 }, (_, i) => i),
    );
  });

  it.each([
    ['none', ''],
    ['another of the same length', `Bearer ${TOKEN.replace('c', 'x')}`],
    ['a shorter one', `Bearer ${TOKEN.slice(0, -1)}`],
    ['a longer one', `Bearer ${TOKEN}x`],
    ['none after the scheme', 'Bearer '],
    ['another scheme', `Basic ${TOKEN}`],
    ['one without a scheme', TOKEN],
  ])('with the token %s is refused, and the right one is not told', async (_which, authorization) => {
    const web = await serve();
    const { status, headers, body } = await post(web, ONE, { Authorization: authorization });
    expect([status, headers.get('www-authenticate')]).toEqual([401, 'Bearer']);
    expect(JSON.stringify(body) + JSON.stringify(web.log)).not.toContain(TOKEN);
    expect(web.taken).toEqual([]);
  });

  it('with wrong tokens is logged once in a minute, not each time', async () => {
    const web = await serve();
    for (let i = 0; i < 5; i++) await post(web, ONE, { Authorization: 'Bearer wrong' });
    expect(web.log.map(({ level, fields }) => [level, fields])).toEqual([['warn', { address: '127.0.0.1' }]]);
  });

  it('where no token is configured is refused whatever is sent', async () => {
    const web = await serve({ token: null });
    expect(await post(web, ONE, { Authorization: 'Bearer null' })).toMatchObject({ status: 403 });
    expect(web.taken).toEqual([]);
  });

  it('what is no JSON is refused: by its type, by its text', async () => {
    const web = await serve();
    expect(await post(web, ONE, { 'Content-Type': 'text/plain' })).toMatchObject({ status: 415 });
    expect(await post(web, ONE, { 'Content-Type': 'application/jsonp' })).toMatchObject({ status: 415 });
    const typed = { 'Content-Type': 'application/json; charset=utf-8' };
    expect(await post(web, ONE, typed)).toMatchObject({ status: 200 });
    for (const broken of ['', '{"place":"creek"', 'NaN', '{"temperatureC":-3,5}'])
      expect(await post(web, broken)).toMatchObject({
        status: 400,
        body: { error: 'The body is not JSON.' },
      });
    expect(web.taken).toHaveLength(1);
  });

  it('names every mistake of every reading, and keeps none', async () => {
    const web = await serve({
      addReadings: async (posted) => {
        expect(posted.map((one) => one?.place ?? null)).toEqual(['creek', null, null, null, 'lake', null]);
        const mistake = { index: 4, code: 'unknown-id', text: 'There is no place "lake".' } as const;
        return { ok: false, mistakes: [mistake] };
      },
    });
    const { status, body } = await post(web, [
      ONE,
      { place: 'creek', unit: 'blue', temperatureC: '-3.5' },
      null,
      { place: 'creek', temperatureC: -3.5, at: 'today', wind: 3 },
      { place: 'lake', temperatureC: 1 },
      { temperatureC: null, zone: '' },
    ]);
    expect(status).toBe(422);
    const { mistakes } = body as { mistakes: readonly { index: number; text: string }[] };
    expect(mistakes.map(({ index, text }) => `${index} ${text}`)).toEqual([
      '1 "temperatureC" must be a number.',
      '2 A reading must be an object.',
      '3 "at" must be an instant with its offset, such as "2026-11-25T08:30:00Z".',
      '3 Unknown: "wind". A reading may have place, unit, zone, temperatureC, temperatureF, at.',
      '4 There is no place "lake".',
      '5 "zone" is empty.',
      '5 "temperatureC" must be a number.',
    ]);
  });

  it('with mistakes without end is answered with the first 20 of them', async () => {
    const web = await serve({ addReadings: async () => ({ ok: false, mistakes: [] }) });
    const { status, body } = await post(web, Array<number>(30_000).fill(1));
    const { error, mistakes } = body as { error: string; mistakes: readonly { index: number }[] };
    expect([status, mistakes.map(({ index }) => index)]).toEqual([
      422,
      Array.from({ length: 20 }, (_, i) => i),
    ]);
    expect(error).toContain('29,980 more');
  });

  it.each([
    [{ temperatureC: 1 }, 'Name one of "place" and "unit".'],
    [{ place: 'creek', unit: 'blue', temperatureC: 1 }, 'Name one of "place" and "unit".'],
    [{ place: 'creek' }, 'Give one of "temperatureC" and "temperatureF".'],
    [{ place: 'creek', temperatureC: 1, temperatureF: 34 }, 'Give one of "temperatureC" and "temperatureF".'],
    [[], 'The list is empty.'],
    [7, 'A reading must be an object.'],
    [[[ONE]], 'A reading must be an object.'],
  ])('%j is refused with its reason', async (body, text) => {
    const web = await serve();
    expect(await post(web, body)).toMatchObject({ status: 422, body: { mistakes: [{ index: 0, text }] } });
    expect(web.taken.flat().filter((one) => one !== null)).toEqual([]);
  });

  it('for a place that nobody knows finds nothing', async () => {
    const text = 'There is no place "lake".';
    const mistakes = [{ index: 0, code: 'unknown-id', text }] as const;
    const web = await serve({ addReadings: async () => ({ ok: false, mistakes }) });
    const { status, body } = await post(web, { place: 'lake', temperatureC: 1 });
    expect([status, body]).toMatchObject([404, { mistakes: [{ index: 0, text }] }]);
  });

  it('while the database is locked is told to come back, without its path', async () => {
    const locked = new StoreError('store-locked', 'Another process holds the database /home/ann/drainby.db.');
    const web = await serve({ addReadings: () => Promise.reject(locked) });
    const { status, headers, body } = await post(web, ONE);
    expect([status, headers.get('retry-after')]).toEqual([503, '60']);
    expect(JSON.stringify(body)).not.toContain('/home');
    expect(web.log).toMatchObject([{ level: 'error', fields: { code: 'store-locked' } }]);
  });

  it('that meets a bug of ours is told so without its inside, and the server goes on', async () => {
    const bug = new TypeError('secret of the inside');
    const web = await serve({ addReadings: () => Promise.reject(bug), wellness: async () => WELL });
    const { status, body } = await post(web, ONE);
    expect([status, JSON.stringify(body)]).toEqual([500, expect.not.stringContaining('secret')]);
    expect(web.log).toMatchObject([
      { level: 'error', fields: { error: expect.stringContaining('secret') as unknown } },
    ]);
    expect((await fetch(`${web.address}/health`)).status).toBe(200);
  });
});

describe('a body', () => {
  it('of more than 64 kB is refused when its head says so, unread', async () => {
    const web = await serve();
    const { socket, ended } = await dial(web.port);
    socket.write(head([...WITH_TOKEN, 'Content-Length: 70000', 'Connection: close']));
    socket.write('[');
    expect(await ended).toMatch(/^HTTP\/1\.1 413 /);
    expect(web.taken).toEqual([]);
  });

  it('of more than 64 kB in pieces of unsaid length is refused once it is too long', async () => {
    const web = await serve();
    const { socket, ended } = await dial(web.port);
    socket.write(head([...WITH_TOKEN, 'Transfer-Encoding: chunked', 'Connection: close']));
    for (let i = 0; i < 9; i++) socket.write(`2000\r\n${' '.repeat(8192)}\r\n`);
    expect(await ended).toMatch(/^HTTP\/1\.1 413 /);
    expect(web.taken).toEqual([]);
  });

  it('of just 64 kB is taken', async () => {
    const web = await serve();
    const text = JSON.stringify(ONE);
    expect(await post(web, text + ' '.repeat(65_536 - text.length))).toMatchObject({ status: 200 });
    expect(await post(web, text + ' '.repeat(65_537 - text.length))).toMatchObject({ status: 413 });
  });

  it('that never comes costs no more than its time, and nothing is kept', async () => {
    const web = await serve({ timeouts: { head: 200, request: 200 } });
    const { socket, ended } = await dial(web.port);
    socket.write(head([...WITH_TOKEN, 'Content-Length: 40']));
    socket.write('{"place":');
    expect(await ended).toMatch(/^HTTP\/1\.1 408 /);
    expect(web.taken).toEqual([]);
    expect(web.log).toEqual([]);
    expect(await post(web, ONE)).toMatchObject({ status: 200 });
  });

  it('whose sender goes away is no bug, and nothing is kept', async () => {
    const web = await serve();
    const { socket, ended } = await dial(web.port);
    socket.write(head([...WITH_TOKEN, 'Content-Length: 40']));
    socket.write('{"place":');
    socket.destroy();
    await ended;
    expect(await post(web, ONE)).toMatchObject({ status: 200 });
    expect(web.log).toEqual([]);
    expect(web.taken).toEqual([[TAKEN]]);
  });

  it('without a token is not waited for', async () => {
    const web = await serve();
    const { socket, ended } = await dial(web.port);
    socket.write(head(['Content-Type: application/json', 'Content-Length: 60000', 'Connection: close']));
    expect(await ended).toMatch(/^HTTP\/1\.1 401 /);
  });
});

describe('a head', () => {
  it('that never ends costs no more than its time', async () => {
    const web = await serve({ timeouts: { head: 200, request: 200 } });
    const { socket, ended } = await dial(web.port);
    socket.write('POST /readings HTTP/1.1\r\nHost: drainby\r\n');
    expect(await ended).toMatch(/^HTTP\/1\.1 408 /);
  });

  it('that 64 connections owe at once locks others out no longer than its time', async () => {
    const web = await serve({ timeouts: { head: 300, request: 300 } });
    const held = await Promise.all(Array.from({ length: 64 }, () => dial(web.port)));
    held.slice(32).forEach(({ socket }) => socket.write('POST /readings HTTP/1.1\r\n'));
    const { ended } = await dial(web.port);
    expect(await ended).toBe('');
    await Promise.all(held.map((one) => one.ended));
    expect(await post(web, ONE)).toMatchObject({ status: 200 });
  });

  it('that is far too long is refused', async () => {
    const web = await serve();
    const { socket, ended } = await dial(web.port);
    socket.write(head([...WITH_TOKEN, `X-Long: ${'x'.repeat(20_000)}`]));
    expect(await ended).toMatch(/^HTTP\/1\.1 431 /);
  });
});

describe('besides', () => {
  it('it says that it is well and when the last round was, to anybody and with nothing else', async () => {
    const web = await serve({ wellness: async () => WELL });
    const response = await fetch(`${web.address}/health`);
    expect([response.status, await response.json()]).toEqual([
      200,
      { ok: true, lastRound: '2026-11-25T08:30:00Z' },
    ]);
  });

  it('it says what is not well, with the status of a service that cannot serve', async () => {
    const reasons = ['No round has finished yet.', 'One message reached nobody.'];
    const web = await serve({ wellness: async () => ({ lastRoundAt: null, reasons }) });
    const response = await fetch(`${web.address}/health`);
    expect([response.status, await response.json()]).toEqual([
      503,
      { ok: false, lastRound: null, reason: reasons.join(' ') },
    ]);
  });

  it('it is not well when the database cannot be read', async () => {
    const damaged = new StoreError('store-damaged', 'The database is damaged.');
    const web = await serve({ wellness: () => Promise.reject(damaged) });
    expect((await fetch(`${web.address}/health`)).status).toBe(503);
  });

  it.each([
    ['GET', '/', 404],
    ['GET', '/drainby.db', 404],
    ['POST', '/readings/', 404],
    ['GET', '/readings/../health/x', 404],
    ['GET', '/readings', 405],
    ['DELETE', '/readings', 405],
    ['POST', '/health', 405],
  ])('%s %s is %i, and every answer has its security headers', async (method, path, status) => {
    const web = await serve();
    const response = await fetch(web.address + path, { method });
    expect(response.status).toBe(status);
    expect(Object.fromEntries(response.headers)).toMatchObject({
      'x-content-type-options': 'nosniff',
      'x-frame-options': 'SAMEORIGIN',
      'content-security-policy': "default-src 'none'",
      'referrer-policy': 'no-referrer',
      'cache-control': 'no-store',
      'content-type': 'application/json',
    });
    expect(response.headers.get('access-control-allow-origin')).toBeNull();
    expect(response.headers.get('x-powered-by')).toBeNull();
  });

  it('too many requests in a minute of the clock are refused, and not in the next', async () => {
    let now = NOW;
    const web = await serve({ now: () => now });
    const statuses: number[] = [];
    for (let i = 0; i < 122; i++) statuses.push((await post(web, ONE)).status);
    expect(statuses.filter((status) => status === 200)).toHaveLength(120);
    const refused = await post(web, ONE);
    expect([refused.status, refused.headers.get('retry-after')]).toEqual([429, '60']);
    now += 60;
    expect(await post(web, ONE)).toMatchObject({ status: 200 });
  });

  it('those who have no token are refused sooner, and shut nobody out who has it', async () => {
    const web = await serve({ wellness: async () => WELL });
    const statuses: number[] = [];
    for (let i = 0; i < 31; i++)
      statuses.push((await post(web, ONE, { Authorization: `Bearer wrong-${i}` })).status);
    expect(statuses.slice(-2)).toEqual([401, 429]);
    expect((await fetch(`${web.address}/wp-login.php`)).status).toBe(429);
    expect(await post(web, ONE)).toMatchObject({ status: 200 });
    expect((await fetch(`${web.address}/health`)).status, 'whoever watches').toBe(200);
  });

  it('those who watch too often are refused, and shut out nobody else', async () => {
    const web = await serve({ wellness: async () => WELL });
    const statuses: number[] = [];
    for (let i = 0; i < 31; i++) statuses.push((await fetch(`${web.address}/health`)).status);
    expect(statuses.slice(-2)).toEqual([200, 429]);
    expect(await post(web, ONE)).toMatchObject({ status: 200 });
    expect((await fetch(`${web.address}/nothing`)).status).toBe(404);
  });
});

describe('the server', () => {
  it('says when its address is taken', async () => {
    const web = await serve();
    const again = serve({ listen: `127.0.0.1:${web.port}` });
    await expect(again).rejects.toMatchObject({
      name: 'ConfigError',
      code: 'config-invalid',
      message: expect.stringContaining(`127.0.0.1:${web.port} cannot be used: listen EADDRINUSE`) as unknown,
    });
  });

  it('takes an address of version 6', async () => {
    const web = await serve({ listen: '[::1]:0', wellness: async () => WELL });
    expect(web.address).toMatch(/^http:\/\/\[::1\]:\d+$/);
    expect((await fetch(`${web.address}/health`)).status).toBe(200);
  });

  it('ends a request in hand before it closes, and takes nothing more', async () => {
    let finish = (): void => undefined;
    let arrive = (): void => undefined;
    const arrived = new Promise<void>((resolve) => {
      arrive = resolve;
    });
    const held = new Promise<void>((resolve) => {
      finish = resolve;
    });
    const web = await serve({
      addReadings: async () => {
        arrive();
        await held;
        return { ok: true, counts: { added: 1 } };
      },
    });
    const reply = post(web, ONE);
    await arrived;
    web.abort();
    await expect(post(web, ONE)).rejects.toThrow('fetch failed');
    finish();
    expect(await reply).toMatchObject({ status: 200, body: { added: 1 } });
    await web.close();
  });

  it('closes on those who only hold a connection, and twice is no harm', async () => {
    const web = await serve({ timeouts: { grace: 50 } });
    const { socket, ended } = await dial(web.port);
    socket.write(head([...WITH_TOKEN, 'Content-Length: 40']));
    await Promise.all([web.close(), web.close()]);
    expect(await ended).toBe('');
    await web.close();
  });

  it('that is kept waits for its address, says so once, and serves when it is free', async () => {
    const blocker = createServer().listen(0, '127.0.0.1');
    onTestFinished(() => void blocker.close());
    await once(blocker, 'listening');
    const { port } = blocker.address() as AddressInfo;
    const log = recordingLog();
    let hear: (line: string) => void = () => undefined;
    const heard = (words: string): Promise<void> =>
      new Promise((resolve) => {
        hear = (line) => (line.includes(words) ? resolve() : undefined);
      });
    const telling = (level: 'info' | 'warn' | 'error') => (fields: object, message: string) => {
      log[level](fields, message);
      hear(message);
    };
    const options = {
      listen: `127.0.0.1:${port}`,
      token: TOKEN,
      addReadings: async () => ({ ok: true as const, counts: {} }),
      wellness: async () => WELL,
      now: () => NOW,
      log: { info: telling('info'), warn: telling('warn'), error: telling('error') },
      signal: new AbortController().signal,
    };
    const failing = heard('until the address is free');
    const web = keepWeb(options, 20);
    onTestFinished(() => web.close());
    await failing;
    const serving = heard('Readings are taken');
    blocker.close();
    await serving;
    expect((await fetch(`http://127.0.0.1:${port}/health`)).status).toBe(200);
    expect(log.lines.map(({ level }) => level)).toEqual(['error', 'info']);
    await web.close();
    const next = await openWeb({ ...options, listen: `127.0.0.1:${port}` });
    await next.close();
  });

  it('that waits for its address can be closed', async () => {
    const web = await serve();
    const log = recordingLog();
    const { signal } = new AbortController();
    const served = { token: TOKEN, wellness: async () => WELL, now: () => NOW, log, signal };
    const waiting = keepWeb({
      ...served,
      listen: `127.0.0.1:${web.port}`,
      addReadings: async () => ({ ok: true, counts: {} }),
    });
    await waiting.close();
    expect(log.lines.filter(({ level }) => level === 'info')).toEqual([]);
  });
});
