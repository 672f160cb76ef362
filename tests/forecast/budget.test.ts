import { expect, it } from 'vitest';
import { overspent } from '../../src/forecast/http/budget.ts';
import { seconds } from '../support/instants.ts';

const NOW = seconds('2026-01-05T18:30:30Z');
/** Open-Meteo's free service: its terms of 2026. */
const allowance = { day: 10_000, hour: 5000, minute: 600 };

it('what is wanted less leaves a part of the day and of the hour to what is needed more', () => {
  const spent = { day: 7400, hour: 0, minute: 0 };
  expect(overspent({ allowance, spent, weight: 100, share: 0.75 }, NOW)).toBeNull();
  // The next UTC day begins in five and a half hours, less half a minute.
  expect(overspent({ allowance, spent, weight: 101, share: 0.75 }, NOW)).toEqual({
    period: 'day',
    waitS: 19_770,
  });
  expect(overspent({ allowance, spent, weight: 2600 }, NOW)).toEqual({ period: 'minute', waitS: 30 });
  expect(overspent({ allowance, spent, weight: 600 }, NOW)).toBeNull();
  const inHour = { day: 3700, hour: 3700, minute: 0 };
  expect(overspent({ allowance, spent: inHour, weight: 51, share: 0.75 }, NOW)).toMatchObject({
    period: 'hour',
  });
  expect(overspent({ allowance, spent: inHour, weight: 51 }, NOW)).toBeNull();
});
