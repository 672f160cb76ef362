import { describe, expect, it } from 'vitest';
import { HttpResponse } from 'msw';
import { itWithShared } from '../shared-data.ts';
import {
  BERLIN,
  bridged,
  errorOf,
  fetchOne,
  forecastOf,
  healthy,
  jsonText,
  manyPoints,
} from './open-meteo-setup.ts';
import { NOW, OSLO, recording, START, type Responder, type Setup } from './open-meteo-setup.ts';
import { pointsOf } from '../support/weather-server.ts';

async function failWith(
  respond: Responder,
  now = NOW,
): Promise<{ error: ReturnType<typeof errorOf> } & Setup> {
  const setup = bridged(respond);
  return { ...setup, error: errorOf(await fetchOne(setup.source, BERLIN, now)) };
}

/** 08:30:00 UTC: half an hour before the next, fifteen and a half before midnight. */
const LIMITS = [
  ['http429_minutely.json', 60],
  ['http429_hourly.json', 1800],
  ['http429_daily.json', 55_800],
] as const;

const REFUSALS = [
  ['http400_apikey_invalid.json', 400, 'The supplied API key is invalid.'],
  ['http400_date_range.json', 400, 'out of allowed range'],
  ['http400_forecast_days.json', 400, 'Given 17.'],
  ['http400_latitude.json', 400, 'Given: 95.0.'],
  ['http400_no_data.json', 400, 'No data is available for this location'],
  ['http400_timezone.json', 400, 'Invalid timezone'],
  ['http400_too_much.json', 400, 'too much data'],
  ['http400_variable.json', 400, 'tempeture_2m'],
  ['http401_apikey_required.json', 401, 'API key required.'],
  ['http403_plan.json', 403, 'Professional'],
] as const;

const OUTAGES = [
  ['http500_generic.json', 500, 'application/json'],
  ['http502_nginx.html', 502, 'text/html'],
  ['http503_overloaded.json', 503, 'application/json'],
] as const;

const NOT_JSON = [
  ['OM-5', 'http200_nan_not_json.txt'],
  ['OM-5', 'http200_minus_nan_truncated.txt'],
  ['OM-6', 'http200_error_mid_stream.txt'],
] as const;

describe('a service that is limiting', () => {
  for (const [file, seconds] of LIMITS) {
    itWithShared(`OM-7: by ${file} is left alone for ${seconds} s`, async () => {
      const { error, requests } = await failWith(() => jsonText(recording(`errors/${file}`), 429));
      expect(error).toMatchObject({ code: 'source-limited', retryable: true, retryAfterS: seconds });
      expect(requests).toHaveLength(1);
    });
  }

  itWithShared(
    'OM-7: by too many requests at once is waited for, five seconds and a little each time',
    async () => {
      const { error, requests, waits } = await failWith(() =>
        jsonText(recording('errors/http429_concurrent.json'), 429),
      );
      expect(error).toMatchObject({ code: 'source-limited', retryable: true, retryAfterS: 5 });
      expect(requests).toHaveLength(3);
      expect(waits).toEqual([5250, 5250]);
    },
  );

  it('is left alone for as long as Retry-After says, in seconds or as a date', async () => {
    const after = async (value: string): Promise<number | null> =>
      (await failWith(() => jsonText('{}', 429, { 'retry-after': value }))).error.retryAfterS;
    expect(await after('120')).toBe(120);
    expect(await after('Sat, 10 Jan 2026 08:45:00 GMT')).toBe(900);
    expect(await after('soon')).toBe(60);
  });

  it('is not asked for the batches that remain, which get the same error', async () => {
    const { source, requests } = bridged(() => jsonText('{}', 429));
    const answers = await source.fetch(manyPoints(250), NOW, new AbortController().signal);
    expect(requests).toHaveLength(1);
    expect(answers.size).toBe(250);
    expect(new Set([...answers.values()].map((answer) => errorOf(answer).code))).toEqual(
      new Set(['source-limited']),
    );
  });
});

describe('a service that refuses', () => {
  for (const [file, status, words] of REFUSALS) {
    itWithShared(`OM-15: with ${file} is quoted and not asked again`, async () => {
      const { error, requests } = await failWith(() => jsonText(recording(`errors/${file}`), status));
      expect(error).toMatchObject({ code: 'source-refused', retryable: false });
      expect(error.message).toContain(words);
      expect(requests).toHaveLength(1);
    });
  }

  it('in a 200 with an error object is understood', async () => {
    const { error } = await failWith(() => jsonText('{"error":true,"reason":"Invalid timezone"}'));
    expect(error).toMatchObject({ code: 'source-refused', retryable: false });
  });

  it('cannot put control characters or endless text into our logs', async () => {
    const reason = `a\u001b[31m\r\nb${'x'.repeat(5000)}`;
    const { error } = await failWith(() => jsonText(JSON.stringify({ error: true, reason }), 400));
    expect(error.message).toContain('a [31m bx');
    expect(error.message).not.toMatch(/\p{Cc}/u);
    expect(error.message.length).toBeLessThan(400);
  });

  it('and repeats the key does not make us print it', async () => {
    const body = '{"error":true,"reason":"The key sesame-1234 has expired."}';
    const { source } = bridged(() => jsonText(body, 401), { apiKey: 'sesame-1234' });
    const error = errorOf(await fetchOne(source));
    expect(error.message).toContain('The key [key] has expired.');
    expect(JSON.stringify([error, error.message, error.stack, error.hint])).not.toContain('sesame');
  });

  it('by a redirect is not followed', async () => {
    const { error, requests } = await failWith(
      () =>
        new HttpResponse(null, { status: 301, headers: { location: 'https://customer.test/?apikey=s3' } }),
    );
    expect(error).toMatchObject({ code: 'source-refused', retryable: false });
    expect(error.message).toContain('customer.test');
    expect(error.message).not.toContain('s3');
    expect(requests).toHaveLength(1);
  });

  it('one point of a batch still answers the others', async () => {
    const points = manyPoints(8);
    const { source, requests } = bridged((request) =>
      pointsOf(new URL(request.url).searchParams).some(({ latitude }) => latitude === 40.05)
        ? jsonText('{"error":true,"reason":"No data is available for this location"}', 400)
        : healthy(request),
    );
    const answers = await source.fetch(points, NOW, new AbortController().signal);
    const failed = points.filter(({ id }) => answers.get(id)?.ok === false);
    expect(failed.map(({ id }) => id)).toEqual(['p5']);
    expect(requests).toHaveLength(7);
  });
});

describe('a service that is out of order', () => {
  for (const [file, status, type] of OUTAGES) {
    itWithShared(`OM-8: with ${file} is asked twice more, later and later`, async () => {
      const { error, requests, waits } = await failWith(() =>
        jsonText(recording(`errors/${file}`), status, { 'content-type': type }),
      );
      expect(error).toMatchObject({ code: 'source-http', retryable: true });
      expect(error.message).toContain(String(status));
      expect(requests).toHaveLength(3);
      expect(waits).toEqual([1000, 2000]);
    });
  }

  it('once and then well gives a forecast', async () => {
    const { source, requests } = bridged((request, count) =>
      count === 1 ? jsonText('', 503) : healthy(request),
    );
    expect(forecastOf(await fetchOne(source)).members[0]!.temperatureC[1]).toBe(-1);
    expect(requests).toHaveLength(2);
  });

  it('OM-8: with a web page under a 200 is not read as data', async () => {
    const { error } = await failWith(() =>
      HttpResponse.html('<html><body>Log in to this network</body></html>'),
    );
    expect(error).toMatchObject({ code: 'source-http', retryable: true });
    expect(error.message).toContain('web page');
  });

  it('and not reachable is told apart from one that answers badly', async () => {
    const { error, requests } = await failWith(() => HttpResponse.error());
    expect(error).toMatchObject({ code: 'source-unreachable', retryable: true });
    expect(error.message).toContain('ECONNREFUSED');
    expect(requests).toHaveLength(3);
  });

  it('spends two further tries on a whole fetch, not on each batch', async () => {
    const { source, requests } = bridged(() => jsonText('', 502));
    const answers = await source.fetch(manyPoints(300), NOW, new AbortController().signal);
    expect(requests).toHaveLength(5);
    expect([...answers.values()].every((answer) => !answer.ok)).toBe(true);
  });
});

describe('a 200 that is not JSON', () => {
  for (const [row, file] of NOT_JSON) {
    itWithShared(`${row}: as in ${file} is an error, not a crash, and asked for again`, async () => {
      const { error, requests } = await failWith(() => jsonText(recording(`errors/${file}`)));
      expect(error).toMatchObject({ code: 'source-body', retryable: true });
      expect(requests).toHaveLength(3);
    });
  }

  it('because it was cut short is an error', async () => {
    const { error } = await failWith(async (request) => {
      const text = await healthy(request).text();
      return jsonText(text.slice(0, text.length / 2));
    });
    expect(error).toMatchObject({ code: 'source-body', retryable: true });
  });

  it('OM-6: says so when the service wrote its own error into the stream', async () => {
    const { error } = await failWith(() => jsonText('{"a":[1Unexpected error while streaming data: reset'));
    expect(error.message).toContain('stopped with an error in the middle');
  });

  it('OM-5: because of one point leaves the other ninety-nine their forecasts', async () => {
    const points = manyPoints(100);
    const { source, requests } = bridged(async (request) => {
      const text = await healthy(request, { hours: 240 }).text();
      return jsonText(text.replace('"latitude":40.37,', '"latitude":nan,'));
    });
    const answers = await source.fetch(points, NOW, new AbortController().signal);
    const failed = points.filter(({ id }) => answers.get(id)?.ok === false);
    expect(failed.map(({ id }) => id)).toEqual(['p37']);
    expect(errorOf(answers.get('p37')).code).toBe('source-body');
    expect(requests.length).toBeLessThan(20);
  });

  it('for every point costs a bounded number of requests', async () => {
    const { source, requests } = bridged(() => jsonText('[{"latitude":nan}]'));
    const answers = await source.fetch(manyPoints(100), NOW, new AbortController().signal);
    expect(answers.size).toBe(100);
    expect(requests.length).toBeLessThanOrEqual(1 + 2 * 14 + 2);
  });
});

describe('an answer in another shape', () => {
  it('OM-11: as an object where two places were asked for matches neither', async () => {
    const { source } = bridged((request) =>
      healthy(new Request(request.url.replace(/latitude=([\d.]+),[\d.]+/, 'latitude=$1'))),
    );
    const answers = await source.fetch([BERLIN, OSLO], NOW, new AbortController().signal);
    expect(errorOf(answers.get('berlin')).code).toBe('source-missing-place');
    expect(errorOf(answers.get('oslo')).code).toBe('source-missing-place');
  });

  it('OM-11: as an array for two places is matched by order, though the first has no location_id', async () => {
    const { source } = bridged((request) => healthy(request, { temperatureC: (_, point) => -10 * point }));
    const answers = await source.fetch([BERLIN, OSLO], NOW, new AbortController().signal);
    expect(forecastOf(answers.get('berlin')).members[0]!.temperatureC[0]).toBe(0);
    expect(forecastOf(answers.get('oslo')).members[0]!.temperatureC[0]).toBe(-10);
  });

  it('OM-11: in another order is not given to the wrong place', async () => {
    const { source } = bridged(async (request) => {
      const locations = JSON.parse(await healthy(request).text()) as unknown[];
      return jsonText(JSON.stringify(locations.toReversed()));
    });
    const answers = await source.fetch([BERLIN, OSLO], NOW, new AbortController().signal);
    expect(errorOf(answers.get('berlin')).code).toBe('source-missing-place');
    expect(errorOf(answers.get('oslo')).code).toBe('source-missing-place');
  });

  it.each([
    ['is empty', { time: [], temperature_2m: [] }, 'forecast-empty'],
    ['has only nulls', { time: [START, START + 3600], temperature_2m: [null, null] }, 'forecast-empty'],
    ['has text for numbers', { time: [START], temperature_2m: ['-3'] }, 'source-body'],
    ['has only impossible numbers', { time: [START], temperature_2m: [1e308] }, 'forecast-empty'],
  ])('for one place of two that %s leaves the other its forecast', async (_, hourly, code) => {
    const { source } = bridged((request) =>
      healthy(request, { change: (location, index) => (index === 0 ? { ...location, hourly } : location) }),
    );
    const answers = await source.fetch([BERLIN, OSLO], NOW, new AbortController().signal);
    expect(errorOf(answers.get('berlin')).code).toBe(code);
    expect(answers.get('oslo')?.ok).toBe(true);
  });

  it('larger than accepted is not read to its end', async () => {
    let pulled = 0;
    const endless = new ReadableStream<Uint8Array>({
      pull: (controller) => {
        pulled += 1;
        controller.enqueue(new Uint8Array(65_536).fill(32));
      },
    });
    const { source, requests } = bridged(() => new HttpResponse(endless, { status: 200 }), {
      maxBodyBytes: 1_000_000,
    });
    expect(errorOf(await fetchOne(source))).toMatchObject({ code: 'source-too-large', retryable: false });
    expect(pulled).toBeLessThan(64);
    expect(requests).toHaveLength(1);
  });
});

describe('the caller', () => {
  it('who gives up makes the fetch reject, before and during a wait', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await expect(source.fetch([BERLIN], NOW, AbortSignal.abort())).rejects.toThrow(/abort/i);
    expect(requests).toHaveLength(0);

    const stop = new AbortController();
    const waiting = bridged(() => jsonText('', 503), { sleep: async () => stop.abort() });
    await expect(waiting.source.fetch([BERLIN], NOW, stop.signal)).rejects.toThrow(/abort/i);
    expect(waiting.requests).toHaveLength(1);
  });
});
