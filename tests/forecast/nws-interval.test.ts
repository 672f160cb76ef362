import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseInterval } from '../../src/forecast/nws/interval-parse.ts';
import { iso, seconds } from '../support/instants.ts';

const NOW = seconds('2026-01-15T18:20:00Z');

function read(text: string): string | null {
  const interval = parseInterval(text, NOW);
  return interval === null ? null : `${iso(interval.start)} ${iso(interval.end)}`;
}

/** The first three from the specification's own examples (specs/nws.openapi.json), the rest from recorded grids. */
const FORMS = [
  ['2007-03-01T13:00:00Z/2008-05-11T15:30:00Z', '2007-03-01T13:00:00Z 2008-05-11T15:30:00Z'],
  ['2007-03-01T13:00:00Z/P1Y2M10DT2H30M', '2007-03-01T13:00:00Z 2008-05-11T15:30:00Z'],
  ['P1Y2M10DT2H30M/2008-05-11T15:30:00Z', '2007-03-01T13:00:00Z 2008-05-11T15:30:00Z'],
  ['2026-01-15T11:00:00+00:00/PT3H', '2026-01-15T11:00:00Z 2026-01-15T14:00:00Z'],
  ['2026-01-15T11:00:00+00:00/PT72H', '2026-01-15T11:00:00Z 2026-01-18T11:00:00Z'],
  ['2026-01-15T11:00:00+00:00/P1D', '2026-01-15T11:00:00Z 2026-01-16T11:00:00Z'],
  ['2026-01-15T11:00:00+00:00/P1DT18H', '2026-01-15T11:00:00Z 2026-01-17T05:00:00Z'],
  ['2026-01-15T11:00:00+00:00/P7DT20H', '2026-01-15T11:00:00Z 2026-01-23T07:00:00Z'],
  ['2026-01-15T05:00:00-0600/PT1H', '2026-01-15T11:00:00Z 2026-01-15T12:00:00Z'],
  ['2026-01-15T05:00:00-06/PT1H', '2026-01-15T11:00:00Z 2026-01-15T12:00:00Z'],
  ['NOW/PT6H', '2026-01-15T18:20:00Z 2026-01-16T00:20:00Z'],
  ['PT30M/NOW', '2026-01-15T17:50:00Z 2026-01-15T18:20:00Z'],
  ['NOW/2026-01-16T00:00:00Z', '2026-01-15T18:20:00Z 2026-01-16T00:00:00Z'],
  ['2026-01-15T11:00:00Z/PT0S', '2026-01-15T11:00:00Z 2026-01-15T11:00:00Z'],
] as const;

const NOT_INTERVALS = [
  '',
  '/',
  'NOW',
  '2026-01-15T11:00:00Z',
  'PT1H/PT1H',
  '2026-01-15T11:00:00Z/P',
  '2026-01-15T11:00:00Z/PT',
  '2026-01-15T11:00:00Z/P1H',
  '2026-01-15T11:00:00Z/PT-1H',
  '2026-01-15T11:00:00Z/PT1.5H',
  '2026-01-15T11:00:00Z/P999999Y',
  '2026-01-15T11:00:00Z/2026-01-15T10:00:00Z',
  '2026-01-15T11:00:00Z/PT1H/PT1H',
  '2026-02-30T11:00:00Z/PT1H',
  '2026-01-15T11:00:00/PT1H',
];

describe('NWS-7: an interval', () => {
  it.each(FORMS)('%s is read', (text, expected) => expect(read(text)).toBe(expected));

  it.each(NOT_INTERVALS)('"%s" is not one', (text) => expect(read(text)).toBeNull());

  it('of days, hours and minutes is as long as they are, whatever the numbers', () => {
    const numbers = fc.tuple(...[60, 300, 3000].map((max) => fc.nat({ max })));
    fc.assert(
      fc.property(numbers, ([days, hours, minutes]) => {
        const interval = parseInterval(`2026-01-15T11:00:00Z/P${days}DT${hours}H${minutes}M`, NOW);
        expect(interval!.end - interval!.start).toBe(days! * 86_400 + hours! * 3600 + minutes! * 60);
      }),
    );
  });
});
