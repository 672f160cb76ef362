import { describe, expect, it } from 'vitest';
import { isCronExpression } from '../../src/config/cron.ts';
import { SMALL, parse } from './sample.ts';

function zoneOf(latitude: number, longitude: number, zone: string): string | undefined {
  const text = SMALL.replace('39.61', String(latitude)).replace(
    '-106.05',
    `${longitude}\n    timeZone: ${zone}`,
  );
  return parse(text).places[0]?.timeZone;
}

describe("a place's own time zone", () => {
  it('is kept, even where it is only near that of the coordinates', () => {
    expect(zoneOf(39.61, -106.05, 'America/Phoenix')).toBe('America/Phoenix');
    expect(zoneOf(39.61, -106.05, 'UTC')).toBe('UTC');
    expect(zoneOf(-45.03, 168.66, 'Pacific/Auckland')).toBe('Pacific/Auckland');
    expect(zoneOf(64.84, -147.72, 'America/Anchorage')).toBe('America/Anchorage');
  });
});

describe('a cron expression', () => {
  it.each(['17 * * * *', '*/20 * * * *', '0 6,18 * * 1-5', '5-55/10 0-23 1 jan-mar sun', '0 0 31 12 7'])(
    '%j has five fields in range',
    (text) => {
      expect(isCronExpression(text)).toBe(true);
    },
  );

  it.each([
    '',
    '* * * *',
    '* * * * * *',
    '60 * * * *',
    '* 24 * * *',
    '* * 0 * *',
    '* * * 13 *',
    '* * * * 8',
    '*/0 * * * *',
    '5-1 * * * *',
    'x * * * *',
    '1-2-3 * * * *',
    '1/2/3 * * * *',
    ', * * * *',
    '@hourly',
  ])('%j has not', (text) => {
    expect(isCronExpression(text)).toBe(false);
  });
});
