/** Cron as its manual has it: five fields, lists, ranges, steps (POSIX crontab; steps: common practice). */
import { expect, it } from 'vitest';
import { longestGapHours } from '../../src/app/round-interval.ts';

it.each([
  ['17 * * * *', 1],
  ['* * * * *', 1 / 60],
  ['*/15 * * * *', 0.25],
  ['0,10 * * * *', 50 / 60],
  ['0 */6 * * *', 6],
  ['30 6 * * *', 24],
  ['30 6,18 * * *', 12],
  ['0 6-9 * * *', 21],
  ['0 5/6 * * *', 6],
  ['0 8-20/4 * * 1-5', 12],
  [' 5  3,4  1 * *', 23],
])('rounds of "%s" are at most %f h apart', (schedule, hours) => {
  expect(longestGapHours(schedule)).toBeCloseTo(hours, 9);
});
