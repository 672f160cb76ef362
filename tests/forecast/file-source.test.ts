import { mkdtempSync, rmSync, truncateSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Point, SourceAnswer } from '../../src/forecast/source.ts';
import { fileSource } from '../../src/forecast/file/client.ts';
import { parseInstant } from '../../src/quantity/instant.ts';
import { BERLIN, errorOf, forecastOf, OSLO } from './open-meteo-setup.ts';

const NOW = parseInstant('2026-11-30T14:10:00Z')!;
const FIRST = parseInstant('2026-11-30T14:00:00Z')!;

let directory: string;

beforeAll(() => {
  directory = mkdtempSync(join(tmpdir(), 'series-'));
});

afterAll(() => {
  rmSync(directory, { recursive: true });
});

async function fetchPath(path: string, points: readonly Point[] = [BERLIN]): Promise<SourceAnswer> {
  const answers = await fileSource({ id: 'series', path }).fetch(points, NOW, new AbortController().signal);
  return answers.get(points[0]!.id)!;
}

function read(name: string, content: string | Uint8Array): Promise<SourceAnswer> {
  const path = join(directory, name);
  writeFileSync(path, content);
  utimesSync(path, NOW, NOW);
  return fetchPath(path);
}

/** Joined with commas so that cases stay on one line each. */
function csv(...lines: string[]): string {
  return `${lines.join('\n')}\n`;
}

const HEADER = 'time,temperatureC';
const ROW = '2026-11-30T14:00Z,-3.5';

describe('a CSV series', () => {
  it('gives every hour, with an empty cell and a missing hour unknown, never 0', async () => {
    const text = csv(
      'time,temperatureC,windSpeedMps,cloudPercent',
      '2026-11-30T14:00:00Z,-3.5,2,100',
      '2026-11-30T15:00Z,,,',
      '2026-11-30T17:00Z,-5.25,0,0',
    );
    const forecast = forecastOf(await read('good.csv', text));
    expect(forecast).toEqual({
      source: 'series',
      attribution: null,
      issuedAt: null,
      fetchedAt: NOW,
      firstHour: FIRST,
      whole: true,
      members: [
        {
          weight: 1,
          temperatureC: [-3.5, NaN, NaN, -5.25],
          windSpeedMps: [2, NaN, NaN, 0],
          cloudPercent: [100, NaN, NaN, 0],
          soilTemperatureC: null,
        },
      ],
    });
  });

  it('may come from a spreadsheet: byte-order mark, CRLF, quotes, blank last lines, columns in any order', async () => {
    const text =
      '\uFEFF"temperatureC","time"\r\n-3.5,"2026-11-30T14:00Z"\r\n+.5e1, 2026-11-30T15:00Z\r\n\r\n';
    expect(forecastOf(await read('sheet.csv', text)).members[0]!.temperatureC).toEqual([-3.5, 5]);
  });

  it('may hold several members, mixed or in blocks, each with hours of its own', async () => {
    const text = csv(
      'member,time,temperatureC',
      'cold,2026-11-30T14:00Z,-9',
      'mild,2026-11-30T15:00Z,2',
      'cold,2026-11-30T15:00Z,-10',
      'mild,2026-11-30T16:00Z,3',
    );
    const { members } = forecastOf(await read('members.csv', text));
    expect(members.map(({ weight }) => weight)).toEqual([1, 1]);
    expect(members.map(({ temperatureC }) => temperatureC)).toEqual([
      [-9, -10, NaN],
      [NaN, 2, 3],
    ]);
    expect(members[0]!.windSpeedMps).toBeNull();
  });

  it.each<[string, string, number, string]>([
    ['an unknown column', csv('time,temperatureC,rain', ROW), 1, 'found "rain"'],
    ['a column named twice', csv('time,temperatureC,time', ROW), 1, 'named once, found "time"'],
    ['no time', csv('temperatureC', '-3'), 1, 'must name the column time'],
    ['no temperature', csv('time,windSpeedMps', ROW), 1, 'must name the column temperatureC'],
    ['semicolons', csv('time;temperatureC', ROW), 1, 'found "time;temperatureC"'],
    ['nothing at all', '', 1, 'the header'],
    ['no row', csv(HEADER), 2, 'a row must follow'],
    ['too few cells', csv(HEADER, ROW, '2026-11-30T15:00Z'), 3, 'must have 2 cells'],
    ['a decimal comma', csv(HEADER, '2026-11-30T14:00Z,-3,5'), 2, 'must have 2 cells'],
    ['words for a number', csv(HEADER, ROW, '2026-11-30T15:00Z,NaN'), 3, 'empty for unknown, found "NaN"'],
    ['a typographic minus', csv(HEADER, '2026-11-30T14:00Z,−3'), 2, 'must be a number'],
    ['local time', csv(HEADER, '2026-11-30T14:00+01:00,1'), 2, 'UTC hour'],
    ['no offset', csv(HEADER, '2026-11-30T14:00,1'), 2, 'UTC hour'],
    ['a day that does not exist', csv(HEADER, '2026-02-30T14:00Z,1'), 2, 'found "2026-02-30T14:00Z"'],
    ['half hours', csv(HEADER, '2026-11-30T14:30Z,1'), 2, 'minutes and seconds must be 0'],
    ['seconds', csv(HEADER, '2026-11-30T14:00:01Z,1'), 2, 'minutes and seconds must be 0'],
    ['an hour twice', csv(HEADER, ROW, ROW), 3, 'times must rise'],
    ['falling hours', csv(HEADER, ROW, '2026-11-30T13:00Z,1'), 3, 'times must rise'],
    ['degrees Fahrenheit', csv(HEADER, '2026-11-30T14:00Z,75'), 2, 'between -90 and 60 °C, found "75"'],
    ['impossible wind', csv('time,temperatureC,windSpeedMps', `${ROW},-1`), 2, 'between 0 and 120 m/s'],
    ['impossible cloud', csv('time,temperatureC,cloudPercent', `${ROW},101`), 2, 'between 0 and 100 %'],
    ['a row without its member', csv('time,temperatureC,member', `${ROW},`), 2, 'must name its member'],
    ['a century', csv(HEADER, '1926-11-30T14:00Z,1', ROW), 1, 'at most 40000 hours'],
  ])('with %s is refused, with its line and what was found', async (...[, text, line, words]) => {
    const error = errorOf(await read('bad.csv', text));
    expect(error).toMatchObject({ code: 'source-file', retryable: false });
    expect(error.message).toMatch(new RegExp(`^bad\\.csv:${line}: `));
    expect(error.message).toContain(words);
  });
});

const GOOD = {
  schema: 'drainby.series/1',
  issuedAt: '2026-11-30T12:00:00Z',
  time: ['2026-11-30T14:00:00Z', '2026-11-30T16:00:00Z'],
  members: [
    { weight: 3, temperatureC: [-1, -2], windSpeedMps: [1, null], cloudPercent: [null, null] },
    { weight: 1, temperatureC: [null, -4] },
  ],
};

describe('a JSON series', () => {
  it('gives its members with their weights and the time it was issued', async () => {
    const forecast = forecastOf(await read('good.json', JSON.stringify(GOOD)));
    expect(forecast.issuedAt).toBe(parseInstant('2026-11-30T12:00:00Z'));
    expect(forecast.firstHour).toBe(FIRST);
    expect(forecast.whole).toBe(true);
    expect(forecast.members).toEqual([
      {
        weight: 3,
        temperatureC: [-1, NaN, -2],
        windSpeedMps: [1, NaN, NaN],
        cloudPercent: null,
        soilTemperatureC: null,
      },
      {
        weight: 1,
        temperatureC: [NaN, NaN, -4],
        windSpeedMps: null,
        cloudPercent: null,
        soilTemperatureC: null,
      },
    ]);
  });

  it('without a telling name is known by its first character', async () => {
    expect((await read('series.txt', JSON.stringify(GOOD))).ok).toBe(true);
    expect((await read('rows.txt', csv(HEADER, ROW, '2026-11-30T15:00Z,-4'))).ok).toBe(true);
  });

  const member = GOOD.members[0]!;
  it.each<[string, unknown, string, string]>([
    ['another schema', { ...GOOD, schema: 'drainby.series/2' }, 'schema', 'drainby.series/1'],
    ['an unknown key', { ...GOOD, note: 1 }, 'top level', 'note'],
    ['an unknown key in a member', { ...GOOD, members: [{ ...member, rain: [] }] }, 'members.0', 'rain'],
    ['no members', { ...GOOD, members: [] }, 'members', '>=1'],
    ['no hours', { ...GOOD, time: [] }, 'time', '>=1'],
    [
      'a weight beyond all bounds',
      { ...GOOD, members: [{ ...member, weight: 1e308 }] },
      'members.0.weight',
      '<=1000000000',
    ],
    ['a weight of zero', { ...GOOD, members: [{ ...member, weight: 0 }] }, 'members.0.weight', '>0'],
    [
      'text for a number',
      { ...GOOD, members: [{ ...member, temperatureC: ['1', 2] }] },
      'members.0.temperatureC.0',
      'number',
    ],
    [
      'too few values',
      { ...GOOD, members: [{ ...member, temperatureC: [1] }] },
      'members.0.temperatureC',
      '2 values',
    ],
    [
      'degrees Fahrenheit',
      { ...GOOD, members: [{ ...member, temperatureC: [1, 75] }] },
      'members.0.temperatureC.1',
      '"75"',
    ],
    ['half hours', { ...GOOD, time: ['2026-11-30T14:00Z', '2026-11-30T14:30Z'] }, 'time.1', 'minutes'],
    ['falling hours', { ...GOOD, time: ['2026-11-30T14:00Z', '2026-11-30T13:00Z'] }, 'time.1', 'rise'],
    ['an unreadable issuedAt', { ...GOOD, issuedAt: 'today' }, 'issuedAt', '"today"'],
  ])('with %s is refused, with its place', async (...[, value, at, words]) => {
    const error = errorOf(await read('bad.json', JSON.stringify(value)));
    expect(error.code).toBe('source-file');
    expect(error.message).toContain(`bad.json:${at}: `);
    expect(error.message).toContain(words);
  });

  it('that is cut short is refused as a file, not as a crash', async () => {
    const error = errorOf(await read('cut.json', JSON.stringify(GOOD).slice(0, 60)));
    expect(error.code).toBe('source-file');
    expect(error.message).toContain('valid JSON');
  });

  it('cannot put control characters into our logs, not even where the runtime quotes it', async () => {
    const error = errorOf(await read('odd.json', `\u001b[31m${JSON.stringify(GOOD)}`));
    expect(error.message).toContain('valid JSON');
    expect(error.message).not.toMatch(/\p{Cc}/u);
  });
});

describe('a series file', () => {
  it('answers every place alike', async () => {
    const path = join(directory, 'same.csv');
    writeFileSync(path, csv(HEADER, ROW, '2026-11-30T15:00Z,-4'));
    const answers = await fileSource({ id: 'series', path }).fetch(
      [BERLIN, OSLO],
      NOW,
      new AbortController().signal,
    );
    expect(forecastOf(answers.get('oslo'))).toBe(forecastOf(answers.get('berlin')));
  });

  it('that is missing, a directory, not UTF-8 or too large is refused with its name', async () => {
    const missing = errorOf(await fetchPath(join(directory, 'missing.csv')));
    expect(missing).toMatchObject({ code: 'source-file', retryable: false });
    expect(missing.message).toContain('missing.csv');
    expect(missing.hint).toContain('`path`');
    expect(errorOf(await fetchPath(directory)).code).toBe('source-file');
    const utf16 = errorOf(await read('utf16.csv', Buffer.from(`\uFEFF${HEADER}`, 'utf16le')));
    expect(utf16.message).toContain('UTF-8');

    const large = join(directory, 'large.csv');
    writeFileSync(large, '');
    truncateSync(large, 64 * 1024 * 1024 + 1);
    expect(errorOf(await fetchPath(large)).message).toContain('67108865 bytes');
  });

  it('with two hundred thousand members of far-flung hours is refused before it fills the memory', async () => {
    const rows = Array.from(
      { length: 200_000 },
      (_, index) => `2026-11-${1 + (index % 30)}T14:00Z,1,m${index}`,
    );
    const text = `time,temperatureC,member\n${rows.join('\n')}`.replaceAll(/-11-(\d)T/g, '-11-0$1T');
    expect(errorOf(await read('many.csv', text)).message).toContain('hours times members');
  });

  it('that ended before now is stale, and one without any temperature is empty', async () => {
    expect(errorOf(await read('old.csv', csv(HEADER, '2026-11-29T14:00Z,-3'))).code).toBe('forecast-stale');
    expect(errorOf(await read('late.csv', csv(HEADER, '2026-11-30T17:00Z,-3'))).code).toBe('forecast-stale');
    expect(errorOf(await read('empty.csv', csv(HEADER, '2026-11-30T15:00Z,'))).code).toBe('forecast-empty');
  });

  it('rejects only for the caller', async () => {
    const source = fileSource({ id: 'series', path: join(directory, 'good.csv') });
    await expect(source.fetch([BERLIN], NOW, AbortSignal.abort())).rejects.toThrow(/abort/i);
  });
});
