import { describe, expect, it } from 'vitest';
import { readReadingsCsv } from '../../src/readings/csv-parse.ts';
import { seconds } from '../support/instants.ts';

const AT = seconds('2026-11-25T08:30:00Z');

describe('a file of readings', () => {
  it('gives its lines with their scale and zone, columns in any order', () => {
    const text =
      'zone,time,temperatureF\n,2026-11-25T08:30:00Z,25\n"underbelly",2026-11-25T01:30-07:00,"40.5"\n';
    expect(readReadingsCsv(text)).toEqual({
      rows: [
        { line: 2, at: AT, temperature: 25, scale: 'F', zone: null },
        { line: 3, at: AT, temperature: 40.5, scale: 'F', zone: 'underbelly' },
      ],
      mistakes: [],
      empty: 0,
      headless: false,
    });
  });

  it('may come from Windows, have a mark of its byte order, and blank lines at any place', () => {
    const text = '\uFEFFtime,temperatureC\r\n\r\n2026-11-25T08:30:00Z,-3.5\r\n\r\n';
    expect(readReadingsCsv(text).rows).toEqual([
      { line: 3, at: AT, temperature: -3.5, scale: 'C', zone: null },
    ]);
  });

  it('may have hours of which the logger knew nothing; they are no readings and no mistakes', () => {
    const text = 'time,temperatureC\n2026-11-25T08:30:00Z,\n2026-11-25T09:30:00Z,0\n';
    const { rows, mistakes, empty } = readReadingsCsv(text);
    expect([rows.map(({ temperature }) => temperature), mistakes, empty]).toEqual([[0], [], 1]);
  });

  it('says every line that cannot be read, with its number and what was found', () => {
    const lines = [
      'time,temperatureC',
      '2026-11-25T08:30:00Z,-3.5',
      '2026-11-25T08:30:00,-3.5',
      '2026-02-30T08:30:00Z,-3.5',
      '2026-11-25T08:30:00Z,-3,5',
      '2026-11-25T08:30:00Z,cold',
      '2026-11-25T08:30:00Z,NaN',
      '2026-11-25T08:30:00Z',
      '1795595400,1',
    ];
    const { rows, mistakes } = readReadingsCsv(lines.join('\n'));
    expect(rows.map(({ line }) => line)).toEqual([2]);
    expect(mistakes.map(({ line, text }) => `${line} ${text.split(', found ')[1] ?? ''}`)).toEqual([
      '3 "2026-11-25T08:30:00"',
      '4 "2026-02-30T08:30:00Z"',
      '5 "2026-11-25T08:30:00Z,-3,5"',
      '6 "cold"',
      '7 "NaN"',
      '8 "2026-11-25T08:30:00Z"',
      '9 "1795595400"',
    ]);
    expect(mistakes[2]?.text).toContain('2 cells');
  });

  it.each([
    ['', 'header may name'],
    ['time', 'one of temperatureC and temperatureF'],
    ['temperatureC', 'must name the column time'],
    ['time,temperatureC,temperatureF', 'one of temperatureC and temperatureF'],
    ['time,temperatureC,time', 'named once'],
    ['time,temperature', 'may name the columns time, temperatureC, temperatureF, zone only'],
    ['Time,temperatureC', 'found "Time"'],
    ['2026-11-25T08:30:00Z,-3.5', 'found "2026-11-25T08:30:00Z"'],
  ])('with the header "%s" has no meaning', (header, words) => {
    const { rows, mistakes, headless } = readReadingsCsv(`${header}\n2026-11-25T08:30:00Z,-3.5`);
    expect([rows, headless]).toEqual([[], true]);
    expect(mistakes).toMatchObject([{ line: 1, text: expect.stringContaining(words) as unknown }]);
  });
});
