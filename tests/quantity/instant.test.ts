import { expect, it } from 'vitest';
import { parseInstant } from '../../src/quantity/instant.ts';

// Days of the months and leap years: Gregorian calendar (ISO 8601).
it.each(['2026-02-30T00:00:00Z', '2026-02-29T12:00:00+01:00', '2026-04-31T00:00Z', '2026-13-01T00:00Z'])(
  'a day that its month does not have is no instant: %s',
  (text) => {
    expect(parseInstant(text)).toBeNull();
  },
);

it.each([
  ['2028-02-29T00:00:00Z', Date.UTC(2028, 1, 29)],
  ['2026-03-01T00:30:00+01:00', Date.UTC(2026, 1, 28, 23, 30)],
  ['2026-12-31T23:59:59-07:00', Date.UTC(2027, 0, 1, 6, 59, 59)],
])('the last days of months are: %s', (text, ms) => {
  expect(parseInstant(text)).toBe(ms / 1000);
});
