import { setImmediate as nextTurn } from 'node:timers/promises';
import { gzipSync } from 'node:zlib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { memoryShelf } from '../support/memory-shelf.ts';
import { bad, good, json, NOW, opened, POLICY, startRawServer } from './http-setup.ts';
import type { OpenedService, RawServer, Reply } from './http-setup.ts';

let server: RawServer;
let client: OpenedService;

beforeEach(async () => {
  server = await startRawServer();
  client = opened(server);
});

afterEach(async () => {
  await client.close();
  await server.close();
});

describe('a packed body', () => {
  const packed =
    (bytes: Uint8Array): Reply =>
    (_, response) =>
      response.writeHead(200, { 'content-type': 'application/json', 'content-encoding': 'gzip' }).end(bytes);

  it('is asked for and unpacked', async () => {
    server.reply = packed(gzipSync('{"t":[-3.5,null]}'));
    expect(good(await client.ask('/x')).value).toEqual({ t: [-3.5, null] });
    expect(server.requests[0]!.headers['accept-encoding']).toBe('gzip');
  });

  it('that would unpack to more than is accepted is refused', async () => {
    const small = opened(server, { maxBodyBytes: 10_000 });
    const bomb = gzipSync(Buffer.alloc(9_000_000, 32));
    expect(bomb.byteLength).toBeLessThan(10_000);
    server.reply = packed(bomb);
    expect(bad(await small.ask('/x')).error).toMatchObject({ code: 'source-too-large', retryable: false });
    await small.close();
  });

  it.each([
    ['cut off', gzipSync('{"t":[1,2,3,4,5,6,7]}').subarray(0, 20)],
    ['none at all', Buffer.from('{"t":1}')],
  ])('that is %s is an answer that broke off', async (_, bytes) => {
    server.reply = packed(bytes);
    const { error } = bad(await client.ask('/x'));
    expect(error).toMatchObject({ code: 'source-body', retryable: true });
    expect(server.requests).toHaveLength(3);
  });
});

describe('a body in pieces', () => {
  it('is read whole, though a character is cut in two', async () => {
    const bytes = Buffer.from('{"unit":"°C"}');
    const cut = bytes.indexOf(0xb0);
    server.reply = async (_, response) => {
      response.writeHead(200, { 'content-type': 'application/json' });
      for (const piece of [bytes.subarray(0, 3), bytes.subarray(3, cut), bytes.subarray(cut)]) {
        response.write(piece);
        await nextTurn();
      }
      response.end();
    };
    expect(good(await client.ask('/x')).value).toEqual({ unit: '°C' });
  });
});

describe('a body whose length is not what was said', () => {
  it.each([
    ['shorter', '{"t":[1,2', 100],
    ['longer', '{"t":[1,2,3]}', 9],
  ])('because it is %s is broken, not read as far as it goes', async (_, body, length) => {
    server.reply = (_request, response) => {
      response.writeHead(200, { 'content-type': 'application/json', 'content-length': String(length) });
      response.socket?.end(`${head(length)}${body}`);
    };
    const { error } = bad(await client.ask('/x'));
    expect(error).toMatchObject({ code: 'source-body', retryable: true });
  });

  function head(length: number): string {
    return `HTTP/1.1 200 OK\r\ncontent-type: application/json\r\ncontent-length: ${length}\r\n\r\n`;
  }
});

describe('an answer that is none in HTTP', () => {
  it.each([
    ['text of its own', 'hello\r\n\r\n'],
    ['a status line that is none', 'HTTP/1.1 abc\r\n\r\n'],
    ['a head without end', `HTTP/1.1 200 OK\r\nx-long: ${'x'.repeat(40_000)}\r\n\r\n`],
  ])('because it is %s is broken, and the service was reached', async (_, text) => {
    server.reply = (request) => request.socket.end(text);
    const { error } = bad(await client.ask('/x'));
    expect(error).toMatchObject({ code: 'source-body', retryable: true });
    expect(error.message).toMatch(
      /sent what is no answer in HTTP \((HTTPParserError|UND_ERR_HEADERS_OVERFLOW)\)/,
    );
  });
});

describe('a redirect', () => {
  beforeEach(() => {
    client = opened(server, { policy: { ...POLICY, followsRedirects: true } });
  });

  const to =
    (location: string, status = 301): Reply =>
    (_, response) =>
      response.writeHead(status, { location }).end();

  it('NWS-5: within the host is followed, and kept under the address that was asked for', async () => {
    server.reply = (request, response, count) =>
      (request.url === '/points/39.6100,-106.0500' ? to('/points/39.61,-106.05') : json({ grid: 'BOU' }))(
        request,
        response,
        count,
      );
    const fetched = good(await client.ask('/points/39.6100,-106.0500'));
    expect(fetched.value).toEqual({ grid: 'BOU' });
    await fetched.keep();
    expect(client.rows[0]!.url).toBe(`${server.url}/points/39.6100,-106.0500`);
  });

  it.each([301, 302, 307, 308])(
    '%i to another host is not followed, and nothing is sent there',
    async (status) => {
      server.reply = to('http://localhost:9/?apikey=s3', status);
      const { error } = bad(await client.ask('/x'));
      expect(error).toMatchObject({ code: 'source-refused', retryable: false });
      expect(error.message).toContain('localhost:9');
      expect(error.message).not.toContain('s3');
      expect(server.requests).toHaveLength(1);
    },
  );

  it.each(['file:///etc/passwd', 'data:,', 'http://', ''])(
    'to "%s", which has no host, is to another address',
    async (location) => {
      server.reply = to(location);
      const { error } = bad(await client.ask('/x'));
      expect(error.code).toBe('source-refused');
      expect(error.message).toContain('redirects to another address, which is not followed');
    },
  );

  it('in a circle ends after three', async () => {
    server.reply = to('/x');
    expect(bad(await client.ask('/x')).error.code).toBe('source-refused');
    expect(server.requests).toHaveLength(4);
  });

  it('is not followed where the policy says so', async () => {
    const plain = opened(server);
    server.reply = to('/y');
    expect(bad(await plain.ask('/x')).error.code).toBe('source-refused');
    expect(server.requests).toHaveLength(1);
    await plain.close();
  });
});

describe('tries', () => {
  it('wait 1 s, 2 s, 4 s by half more or less', async () => {
    const patient = opened(server, { policy: { ...POLICY, tries: 4 } });
    server.reply = json({}, {}, 503);
    expect(bad(await patient.ask('/x')).error.code).toBe('source-http');
    expect(patient.waits).toEqual([1000, 2000, 4000]);
    await patient.close();
  });

  it('sit out a short Retry-After, and a little more', async () => {
    server.reply = (request, response, count) =>
      (count === 1 ? json({}, { 'retry-after': '5' }, 503) : json({ a: 1 }))(request, response, count);
    expect(good(await client.ask('/x')).tries).toBe(2);
    expect(client.waits).toEqual([5250]);
  });

  it('end at a long Retry-After, which is carried in the error, and the service is left alone until then', async () => {
    server.reply = json({}, { 'retry-after': '1800' }, 429);
    expect(bad(await client.ask('/x')).error).toMatchObject({ code: 'source-limited', retryAfterS: 1800 });
    expect(bad(await client.ask('/y', { now: NOW + 1799 })).error.code).toBe('source-limited');
    expect(server.requests).toHaveLength(1);
    server.reply = json({ a: 1 });
    expect(good(await client.ask('/y', { now: NOW + 1800 })).value).toEqual({ a: 1 });
  });

  it.each([400, 401, 403, 404, 422])('are one for %i', async (status) => {
    server.reply = json({}, {}, status);
    const failure = bad(await client.ask('/x'));
    expect(failure).toMatchObject({ status, error: { code: 'source-refused', retryable: false } });
    expect(server.requests).toHaveLength(1);
  });

  it('are more for a refusal that the policy calls passing', async () => {
    const mild = opened(server, { policy: { ...POLICY, passing: (status) => status === 403 } });
    server.reply = json({}, {}, 403);
    expect(bad(await mild.ask('/x')).error.retryable).toBe(true);
    expect(server.requests).toHaveLength(3);
    await mild.close();
  });

  it('quote the service in its own words', async () => {
    const wordy = opened(server, { policy: { ...POLICY, reasonOf: (body) => `said ${body}` } });
    server.reply = json({ detail: 'no such place' }, {}, 404);
    const failure = bad(await wordy.ask('/x'));
    expect(failure.reason).toBe('said {"detail":"no such place"}');
    expect(failure.error.message).toContain('no such place');
    await wordy.close();
  });

  it('quote no half of a character where the words are cut', async () => {
    const wordy = opened(server, { policy: { ...POLICY, reasonOf: () => `${'x'.repeat(199)}🥶` } });
    server.reply = json({}, {}, 404);
    expect(bad(await wordy.ask('/x')).reason).toBe('x'.repeat(199));
    await wordy.close();
  });
});

describe('the allowance', () => {
  const limited = (allowance: object, shelf = memoryShelf()): OpenedService =>
    opened(server, { policy: { ...POLICY, allowance }, shelf });

  it('refuses to ask beyond what a day or an hour allows, and says until when', async () => {
    const frugal = limited({ day: 10, hour: 4 });
    expect(good(await frugal.ask('/a', { weight: 3.5 })).ok).toBe(true);
    const { error } = bad(await frugal.ask('/b', { weight: 1 }));
    // 08:30: half an hour is left.
    expect(error).toMatchObject({ code: 'source-limited', retryable: true, retryAfterS: 1800 });
    expect(error.message).toContain('one hour is spent');
    expect(server.requests).toHaveLength(1);
    expect(good(await frugal.ask('/b', { weight: 1, now: NOW + 1800 })).ok).toBe(true);
    expect(bad(await frugal.ask('/c', { weight: 6, now: NOW + 1800 })).error.retryAfterS).toBe(15 * 3600);
    await frugal.close();
  });

  it('counts tries that failed', async () => {
    const shelf = memoryShelf();
    const frugal = limited({ day: 2 }, shelf);
    server.reply = json({}, {}, 500);
    expect(bad(await frugal.ask('/a')).error.code).toBe('source-limited');
    expect(server.requests).toHaveLength(2);
    expect(await shelf.spent('weather', NOW)).toEqual({ day: 2, hour: 2, minute: 2 });
    await frugal.close();
  });

  it('of a minute is waited for, and what is asked then counts for the next', async () => {
    const frugal = limited({ minute: 5 });
    await frugal.ask('/a', { weight: 5 });
    expect(good(await frugal.ask('/b', { weight: 5 })).ok).toBe(true);
    expect(frugal.waits).toEqual([60_000]);
    expect(good(await frugal.ask('/c', { weight: 5 })).ok).toBe(true);
    expect(frugal.waits).toEqual([60_000, 60_000]);
    await frugal.close();
  });

  it('of a minute that one request alone goes beyond is not waited for', async () => {
    const frugal = limited({ minute: 5 });
    expect(bad(await frugal.ask('/a', { weight: 6 })).error.code).toBe('source-limited');
    expect(frugal.waits).toEqual([]);
    await frugal.close();
  });

  it('is not spent by what the shelf answers', async () => {
    const frugal = limited({ day: 1 });
    await good(await frugal.ask('/a')).keep();
    expect(good(await frugal.ask('/a', { now: NOW + 60 })).fresh).toBe(false);
    await frugal.close();
  });
});

describe('a secret', () => {
  it('is sent, but stands in no address on the shelf and in no error', async () => {
    const keyed = opened(server, {
      headers: { 'x-api-key': 'sesame-1234' },
      secret: 'sesame-1234',
      policy: { ...POLICY, reasonOf: (_, status) => (status === 401 ? 'sesame-1234 has expired' : null) },
    });
    await good(await keyed.ask('/x?apikey=sesame-1234&token=other&a=1')).keep();
    expect(server.requests[0]!.headers['x-api-key']).toBe('sesame-1234');
    expect(JSON.stringify(keyed.rows)).not.toMatch(/sesame|other/);
    expect(good(await keyed.ask('/x?apikey=sesame-1234&token=other&a=1')).fresh).toBe(false);
    server.reply = json({}, {}, 401);
    const { error } = bad(await keyed.ask('/y?apikey=sesame-1234'));
    expect(error.message).toContain('[key] has expired');
    expect(JSON.stringify([error, error.message, error.stack, error.hint])).not.toContain('sesame');
    await keyed.close();
  });
});
