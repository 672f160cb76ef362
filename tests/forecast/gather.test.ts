import { describe, expect, it } from 'vitest';
import { SourceError } from '../../src/errors.ts';
import {
  gatherForecasts,
  type Gathered,
  type OfferedSource,
  type WantedPoint,
} from '../../src/forecast/gather.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { HOUR_S } from '../../src/quantity/instant.ts';
import { BERLIN, NOW, START } from './open-meteo-setup.ts';

function forecast(source: string, issuedAt: number | null = null): Forecast {
  const member = {
    weight: 1,
    temperatureC: [-5],
    windSpeedMps: null,
    cloudPercent: null,
    soilTemperatureC: null,
  };
  return {
    source,
    attribution: null,
    issuedAt,
    fetchedAt: NOW,
    firstHour: START,
    whole: true,
    members: [member],
  };
}

const good = (source: string): SourceAnswer => ({ ok: true, forecast: forecast(source) });
const bad: SourceAnswer = { ok: false, error: new SourceError('source-http', 'The service is down.') };

/** A source that answers each place from a table, and keeps what it was asked. */
function scripted(
  id: string,
  answers: Readonly<Record<string, SourceAnswer>>,
  { staleAfterHours = null, service = null }: Partial<Omit<OfferedSource, 'source'>> = {},
): OfferedSource & { readonly calls: string[][] } {
  const calls: string[][] = [];
  const source = {
    id,
    fetch: async (points: readonly { readonly id: string }[]): Promise<ReadonlyMap<string, SourceAnswer>> => {
      calls.push(points.map((point) => point.id));
      return new Map(
        points.flatMap((point) => (answers[point.id] ? [[point.id, answers[point.id]!] as const] : [])),
      );
    },
  };
  return { source, staleAfterHours, service, calls };
}

const place = (id: string, ...sources: string[]): WantedPoint => ({ ...BERLIN, id, sources });

function gather(points: WantedPoint[], ...sources: OfferedSource[]): Promise<ReadonlyMap<string, Gathered>> {
  return gatherForecasts({ points, sources, now: NOW, signal: new AbortController().signal, compare: true });
}

const sourceOf = (answer: Gathered | undefined): string | null =>
  answer?.ok ? answer.forecast.source : null;

function codesOf(answer: Gathered | undefined): string[] | null {
  return answer === undefined || answer.ok ? null : answer.errors.map((error) => error.code);
}

describe('gathering', () => {
  it('takes the first source that has a place, and asks the next only for the rest', async () => {
    const first = scripted('first', { a: good('first'), b: bad });
    const second = scripted('second', { b: good('second') });
    const found = await gather([place('a', 'first', 'second'), place('b', 'first', 'second')], first, second);
    expect([...found.keys()]).toEqual(['a', 'b']);
    expect(sourceOf(found.get('a'))).toBe('first');
    expect(sourceOf(found.get('b'))).toBe('second');
    expect(first.calls).toEqual([['a', 'b']]);
    expect(second.calls).toEqual([['b']]);
  });

  it('asks a source once, even when it is the first choice of one place and the second of another', async () => {
    const first = scripted('first', { a: bad });
    const second = scripted('second', { a: good('second'), b: good('second') });
    await gather([place('b', 'second'), place('a', 'first', 'second')], first, second);
    expect(second.calls).toEqual([['b', 'a']]);
  });

  it('also ends when places want the same sources in opposite orders', async () => {
    const first = scripted('first', { a: bad, b: bad });
    const second = scripted('second', { a: good('second'), b: bad });
    const found = await gather([place('a', 'first', 'second'), place('b', 'second', 'first')], first, second);
    expect(sourceOf(found.get('a'))).toBe('second');
    expect(codesOf(found.get('b'))).toEqual(['source-http', 'source-http']);
  });

  it('keeps the error of every source that failed, and lets the other places be', async () => {
    const first = scripted('first', { a: bad, b: good('first') });
    const second = scripted('second', {});
    const found = await gather([place('a', 'first', 'second'), place('b', 'first')], first, second);
    expect(codesOf(found.get('a'))).toEqual(['source-http', 'source-missing-place']);
    expect(sourceOf(found.get('b'))).toBe('first');
  });

  it('passes over a forecast that was issued too long ago', async () => {
    const old = { ok: true, forecast: forecast('first', NOW - 12 * HOUR_S - 1) } as const;
    const young = { ok: true, forecast: forecast('first', NOW - 12 * HOUR_S) } as const;
    const second = scripted('second', { a: good('second') });
    const passed = await gather(
      [place('a', 'first', 'second')],
      scripted('first', { a: old }, { staleAfterHours: 12 }),
      second,
    );
    expect(sourceOf(passed.get('a'))).toBe('second');
    const alone = await gather([place('a', 'first')], scripted('first', { a: old }, { staleAfterHours: 12 }));
    expect(codesOf(alone.get('a'))).toEqual(['forecast-stale']);
    for (const [answer, limit] of [
      [young, 12],
      [old, null],
    ] as const) {
      const used = await gather(
        [place('a', 'first')],
        scripted('first', { a: answer }, { staleAfterHours: limit }),
      );
      expect(sourceOf(used.get('a'))).toBe('first');
    }
  });

  it('hears every other service where one has answered, and nobody beside the user’s own word', async () => {
    const [own, meteo, mirror] = [
      scripted('own', { b: good('own') }),
      scripted('meteo', { a: good('meteo'), b: good('meteo') }, { service: 'open-meteo' }),
      scripted('mirror', { a: good('mirror') }, { service: 'open-meteo' }),
    ];
    const us = scripted('us', { a: bad }, { service: 'nws' });
    const norway = scripted('norway', { a: good('norway') }, { service: 'met-norway' });
    const places = [place('a', 'meteo', 'mirror', 'us', 'norway'), place('b', 'own', 'meteo', 'norway')];
    const found = await gather(places, own, meteo, mirror, us, norway);
    const [a, b] = [found.get('a'), found.get('b')];
    expect(sourceOf(a)).toBe('meteo');
    expect(a?.ok && a.others.map((voice) => voice.forecast.source)).toEqual(['norway']);
    expect(a?.errors.map((error) => error.code)).toEqual(['source-http']);
    expect(sourceOf(b)).toBe('own');
    expect(b?.ok && b.others).toEqual([]);
    expect([meteo.calls, mirror.calls, us.calls, norway.calls]).toEqual([[['a']], [], [['a']], [['a']]]);
  });

  it('uses a kept answer as long as it is young enough, and then says why there is no newer one', async () => {
    const kept = (hours: number): SourceAnswer => ({
      ok: true,
      forecast: { ...forecast('first'), fetchedAt: NOW - hours * HOUR_S },
      keptSince: new SourceError('source-http', 'The service is down.'),
    });
    const limit = { staleAfterHours: 12 };
    const young = await gather([place('a', 'first')], scripted('first', { a: kept(12) }, limit));
    expect(sourceOf(young.get('a'))).toBe('first');
    const old = await gather([place('a', 'first')], scripted('first', { a: kept(13) }, limit));
    expect(old.get('a')?.ok === false && old.get('a')?.errors.map(String)).toEqual([
      expect.stringMatching(
        /The service is down\. Its last good answer is of 2026-01-09T19:30:00Z, more than 12 hours/,
      ),
    ]);
    expect(codesOf(old.get('a'))).toEqual(['source-http']);
    const beside = kept(13);
    const renewed: SourceAnswer = beside.ok
      ? { ...beside, forecast: { ...beside.forecast, issuedAt: NOW - HOUR_S } }
      : beside;
    const masked = await gather([place('a', 'first')], scripted('first', { a: renewed }, limit));
    expect(codesOf(masked.get('a'))).toEqual(['source-http']);
  });

  it('refuses a forecast that arrived or was issued when it is yet to be, since its age is unknown', async () => {
    const arrived = (hours: number): SourceAnswer => ({
      ok: true,
      forecast: { ...forecast('first'), fetchedAt: NOW + hours * HOUR_S },
    });
    const issued: SourceAnswer = { ok: true, forecast: forecast('first', NOW + HOUR_S + 1) };
    for (const answer of [arrived(1.01), issued]) {
      const found = await gather([place('a', 'first')], scripted('first', { a: answer }));
      expect(codesOf(found.get('a'))).toEqual(['forecast-stale']);
      expect(found.get('a')?.errors[0]).toMatchObject({
        message: expect.stringContaining('yet to come') as unknown,
        hint: expect.stringContaining('clock') as unknown,
      });
    }
    const near = await gather([place('a', 'first')], scripted('first', { a: arrived(1) }));
    expect(sourceOf(near.get('a'))).toBe('first');
  });

  it('asks the next source where one throws, and says what it threw', async () => {
    const broken = {
      id: 'first',
      fetch: (): Promise<never> => Promise.reject(new RangeError('Maximum call\nstack size exceeded')),
    };
    const first = { source: broken, staleAfterHours: null, service: null };
    const second = scripted('second', { a: good('second') });
    const found = await gather([place('a', 'first', 'second'), place('b', 'first')], first, second);
    expect(sourceOf(found.get('a'))).toBe('second');
    expect(codesOf(found.get('b'))).toEqual(['source-body']);
    const [error] = found.get('b')?.errors ?? [];
    expect(error?.message).toContain('(RangeError: Maximum call stack size exceeded)');
    expect(error?.cause).toBeInstanceOf(RangeError);
  });

  it('gives up with the caller', async () => {
    const stop = new AbortController();
    const source = {
      id: 'first',
      fetch: (): Promise<never> => {
        stop.abort(new Error('The program is stopping.'));
        return Promise.reject(new Error('The request was given up.'));
      },
    };
    const sources = [{ source, staleAfterHours: null, service: null }];
    const points = [place('a', 'first')];
    await expect(
      gatherForecasts({ points, sources, now: NOW, signal: stop.signal, compare: true }),
    ).rejects.toThrow('stopping');
  });
});
