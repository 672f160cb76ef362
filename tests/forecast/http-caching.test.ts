/** RFC 9111 (freshness) and RFC 9110, section 13 (conditions), with what weather-sources.md tells of three services. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { freshUntil } from '../../src/forecast/http/freshness.ts';
import { good, bad, json, NOW, opened, startRawServer } from './http-setup.ts';
import type { OpenedService, RawServer } from './http-setup.ts';

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

describe('an answer that was kept', () => {
  it('is given again without a request until it expires, and then asked for', async () => {
    server.reply = json({ a: 1 }, { 'cache-control': 'public, max-age=1800' });
    await good(await client.ask('/x')).keep();
    const again = good(await client.ask('/x', { now: NOW + 1799 }));
    expect(again).toMatchObject({ value: { a: 1 }, fresh: false, fetchedAt: NOW, tries: 0 });
    expect(server.requests).toHaveLength(1);
    expect(good(await client.ask('/x', { now: NOW + 1800 }))).toMatchObject({ fresh: true, tries: 1 });
    expect(server.requests).toHaveLength(2);
  });

  it('is asked for with its validators, as they came, and 304 makes it new', async () => {
    const lastModified = 'Sat, 25 Jul 2026 03:04:05 GMT';
    server.reply = json({ a: 1 }, { etag: 'W/"q1"', 'last-modified': lastModified });
    await good(await client.ask('/x')).keep();
    server.reply = (_, response) => response.writeHead(304, { 'cache-control': 'max-age=3600' }).end();
    const later = NOW + 700;
    const confirmed = good(await client.ask('/x', { now: later }));
    expect(server.requests[1]!.headers).toMatchObject({
      'if-none-match': 'W/"q1"',
      'if-modified-since': lastModified,
    });
    expect(confirmed).toMatchObject({ value: { a: 1 }, status: 304, fresh: false, fetchedAt: later });
    await confirmed.keep();
    expect(client.rows.at(-1)).toMatchObject({
      body: '{"a":1}',
      etag: 'W/"q1"',
      lastModified,
      fetchedAt: later,
      expiresAt: later + 3600,
    });
  });

  it('is not looked at, nor its validators sent, where the caller wants it anew', async () => {
    server.reply = json({ a: 1 }, { etag: '"q1"' });
    await good(await client.ask('/x')).keep();
    expect(good(await client.ask('/x', { anew: true })).fresh).toBe(true);
    expect(server.requests[1]!.headers).not.toHaveProperty('if-none-match');
  });

  it('is asked for anew when it says that it is from after now: the clock was set back', async () => {
    server.reply = json({ a: 1 });
    await good(await client.ask('/x')).keep();
    await client.ask('/x', { now: NOW - 3600 });
    expect(server.requests).toHaveLength(2);
  });

  it('is asked for anew when its text is no JSON any more', async () => {
    const url = new URL('/x', server.url).href;
    const row = { url, body: '{"a":', fetchedAt: NOW, etag: '"q"', lastModified: null, expiresAt: NOW + 600 };
    await client.shelf.keep('weather', row);
    server.reply = json({ a: 2 });
    expect(good(await client.ask('/x')).value).toEqual({ a: 2 });
    expect(server.requests[0]!.headers).not.toHaveProperty('if-none-match');
  });

  it('is only what the caller has read as usable', async () => {
    await client.ask('/x');
    expect(client.rows).toEqual([]);
    expect(await client.service.shelved(new URL('/x', server.url), NOW)).toBeNull();
  });

  it('stays when an error comes that says of itself that it may be cached', async () => {
    server.reply = json({ a: 1 });
    await good(await client.ask('/x')).keep();
    server.reply = json({ title: 'Unexpected Problem' }, { 'cache-control': 'max-age=86400' }, 500);
    const later = NOW + 4000;
    expect(bad(await client.ask('/x', { now: later })).error.code).toBe('source-http');
    expect(server.requests).toHaveLength(4);
    const held = await client.service.shelved(new URL('/x', server.url), later);
    expect(held).toEqual({ value: { a: 1 }, fetchedAt: NOW, fresh: false });
    server.reply = json({ a: 2 });
    expect(good(await client.ask('/x', { now: later + 1 })).value).toEqual({ a: 2 });
  });

  it('cannot be confirmed where there is none: 304 is then a fault that may pass', async () => {
    server.reply = (_, response) => response.writeHead(304).end();
    expect(bad(await client.ask('/x')).error).toMatchObject({ code: 'source-http', retryable: true });
  });

  it('of a part is found under its own address', async () => {
    const url = new URL('/part', server.url);
    await client.service.keep(url, [1, null], { now: NOW, leastFreshS: 60 });
    const at = async (now: number): Promise<unknown> => client.service.shelved(url, now);
    expect(await at(NOW + 59)).toEqual({ value: [1, null], fetchedAt: NOW, fresh: true });
    expect(await at(NOW + 60)).toMatchObject({ fresh: false });
  });
});

describe('203', () => {
  it('MET-2: is used, and said', async () => {
    server.reply = json({ a: 1 }, {}, 203);
    const fetched = good(await client.ask('/x'));
    expect(fetched.value).toEqual({ a: 1 });
    expect(fetched.remarks).toEqual([
      'The source "weather" says that what it was asked for is on trial or about to be withdrawn (status 203).',
    ]);
  });

  it('MET-6: is not asked for conditionally, which such a product ignores', async () => {
    server.reply = json({ a: 1 }, { 'last-modified': 'Sat, 10 Jan 2026 08:00:00 GMT', etag: '"q"' }, 203);
    await good(await client.ask('/x')).keep();
    expect(good(await client.ask('/x', { now: NOW + 700 })).fresh).toBe(true);
    expect(server.requests[1]!.headers).not.toHaveProperty('if-modified-since');
    expect(server.requests[1]!.headers).not.toHaveProperty('if-none-match');
  });
});

describe('how long an answer is fresh', () => {
  const bounds = { leastFreshS: 600, mostFreshS: 7200 };
  const date = (s: number): string => new Date(s * 1000).toUTCString();

  it.each([
    ['nothing is said', {}, 600],
    ['max-age', { 'cache-control': 'public, max-age=1200, s-maxage=3600' }, 1200],
    ['max-age less the age on arrival', { 'cache-control': 'max-age=1200', age: '300' }, 900],
    ['max-age before Expires', { 'cache-control': 'max-age=1200', expires: date(NOW + 9999) }, 1200],
    ['Expires against the Date of the answer', { expires: date(NOW + 5000), date: date(NOW + 3000) }, 2000],
    ['Expires without a Date', { expires: date(NOW + 1800) }, 1800],
    ['MET-6: Expires in the past', { expires: date(NOW - 1800), date: date(NOW) }, 600],
    ['MET-6: Expires that is no date', { expires: '0' }, 600],
    ['no-store', { 'cache-control': 'no-store, max-age=1200' }, 600],
    ['longer than can be meant', { 'cache-control': 'max-age=31536000' }, 7200],
  ])('is read from its headers: %s', (_, headers, seconds) => {
    expect(freshUntil(headers, NOW, bounds) - NOW).toBe(seconds);
  });
});
