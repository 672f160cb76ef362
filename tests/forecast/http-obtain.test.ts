import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { answerOf, obtain, type Obtained, type Read } from '../../src/forecast/http/obtain.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import { SourceError } from '../../src/errors.ts';
import { json, NOW, opened, startRawServer } from './http-setup.ts';
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

/** Reads what says until when it is good. */
function readUntil(now: number): (value: unknown) => Read<number> {
  return (value) => {
    const { until } = value as { until: number };
    return until >= now
      ? { ok: true, value: until }
      : { ok: false, error: new SourceError('forecast-stale', 'It ended.') };
  };
}

const ask = (now = NOW): Promise<Obtained<number>> =>
  obtain(
    client.service,
    { url: new URL('/x', server.url), now, signal: new AbortController().signal },
    readUntil(now),
  );

describe('what is obtained', () => {
  it('is new, and kept', async () => {
    server.reply = json({ until: NOW + 9000 });
    expect(await ask()).toEqual({
      ok: true,
      value: NOW + 9000,
      fetchedAt: NOW,
      keptSince: null,
      remarks: [],
    });
    expect(client.rows).toHaveLength(1);
  });

  it('is the last good answer when the service fails, with its own age and the reason', async () => {
    server.reply = json({ until: NOW + 9000 });
    await ask();
    server.reply = json({}, {}, 502);
    expect(await ask(NOW + 5000)).toMatchObject({
      ok: true,
      value: NOW + 9000,
      fetchedAt: NOW,
      keptSince: { code: 'source-http' },
    });
  });

  it('is the last good answer when the new one cannot be used', async () => {
    server.reply = json({ until: NOW + 9000 });
    await ask();
    server.reply = json({ until: 0 });
    expect(await ask(NOW + 5000)).toMatchObject({ ok: true, keptSince: { code: 'forecast-stale' } });
    expect(client.rows).toHaveLength(1);
  });

  it('is the error when the last good answer has run out, too', async () => {
    server.reply = json({ until: NOW + 60 });
    await ask();
    server.reply = json({}, {}, 502);
    expect(await ask(NOW + 5000)).toMatchObject({
      ok: false,
      error: { code: 'source-http' },
      failure: { status: 502 },
    });
  });

  it('is the error when the last good answer was kept while the clock was ahead', async () => {
    server.reply = json({ until: NOW + 900_000 });
    await ask(NOW + 90_000);
    server.reply = json({}, {}, 502);
    expect(await ask()).toMatchObject({ ok: false, error: { code: 'source-http' } });
  });

  it('is asked for at once when what was to be fresh has run out', async () => {
    server.reply = json({ until: NOW + 60 });
    await ask();
    server.reply = json({ until: NOW + 9000 });
    expect(await ask(NOW + 120)).toMatchObject({ ok: true, value: NOW + 9000, fetchedAt: NOW + 120 });
    expect(server.requests).toHaveLength(2);
  });

  it('as an answer of a source keeps remarks and says why it is kept', async () => {
    const forecast = { fetchedAt: NOW } as Extract<SourceAnswer, { ok: true }>['forecast'];
    const answer = (now: number): Promise<SourceAnswer> =>
      answerOf(
        client.service,
        { url: new URL('/y', server.url), now, signal: new AbortController().signal },
        (_value, fetchedAt) => ({ ok: true, forecast: { ...forecast, fetchedAt }, remarks: ['One.'] }),
      );
    server.reply = json({}, {}, 203);
    const first = await answer(NOW);
    expect(first).toMatchObject({ ok: true, remarks: ['One.', expect.stringContaining('203')] });
    expect(first).not.toHaveProperty('keptSince');
    server.reply = (request) => request.socket.destroy();
    expect(await answer(NOW + 5000)).toMatchObject({
      ok: true,
      forecast: { fetchedAt: NOW },
      keptSince: { code: 'source-unreachable' },
    });
  });
});
