import { DAY_S } from '../../quantity/instant.ts';
import { parseJson } from '../http/failure.ts';
import type { ServicePolicy } from '../http/policy.ts';
import { problemWire } from './wire.ts';

/**
 * How often each kind of answer is asked for again [s]. The service names no intervals; it makes its forecasts about
 * hourly and its cells stay for months. A little less than an hour, so that an hourly round always asks.
 */
export const FRESH_S = {
  cell: 3 * DAY_S,
  forecast: 50 * 60,
  alerts: 3 * 60,
  observations: 14 * 60,
} as const;

/** Its limit on requests is not published; who passes it can go on "typically within 5 seconds". */
export const POLICY: ServicePolicy = {
  leastFreshS: FRESH_S.forecast,
  // Headers were seen that keep an error for a day, and a change date that lies days ahead.
  mostFreshS: FRESH_S.alerts,
  followsRedirects: true,
  allowance: null,
  tries: 3,
  limitedWaitS: 5,
  refusedHint: 'The service wants to know who asks: give a contact in the config, and wait an hour.',
  reasonOf,
};

/** Errors are small, forecasts are not. */
const LONGEST_PROBLEM = 5000;

/** `InvalidPoint: Unable to provide data for requested point 90,120`: the problem's kind, then its words. */
function reasonOf(body: string): string | null {
  if (body.length > LONGEST_PROBLEM || !body.includes('"detail"')) return null;
  const problem = problemWire.safeParse(parseJson(body));
  if (!problem.success) return null;
  const kind = problem.data.type.split(/[/:]/).at(-1) ?? '';
  return `${kind}: ${problem.data.detail}`;
}
