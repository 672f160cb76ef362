import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { untilNext } from '../http/budget.ts';
import { parseJson } from '../http/failure.ts';
import type { Allowance, ServicePolicy } from '../http/policy.ts';
import { openService, type Service } from '../http/service.ts';
import type { OpenMeteoAccess } from './options.ts';
import { errorWire } from './wire.ts';

/** Of the free service, for use without profit: its terms of 2026. */
const FREE_ALLOWANCE: Allowance = { day: 10_000, hour: 5_000, minute: 600 };

/** Models are renewed once an hour at the most. */
const FRESH_S = 900;

export function openMeteoService(access: OpenMeteoAccess): Service {
  const { apiKey } = access;
  const headers: Record<string, string> = apiKey === null ? {} : { 'x-api-key': apiKey };
  const policy = { ...openMeteoPolicy(allowanceOf(access)), leastFreshS: access.leastFreshS ?? FRESH_S };
  return openService({ ...access, headers, secret: apiKey, policy });
}

export function allowanceOf({ apiKey, allowance }: OpenMeteoAccess): Allowance | null {
  const usual = apiKey === null ? FREE_ALLOWANCE : null;
  return allowance === undefined ? usual : allowance;
}

function openMeteoPolicy(allowance: Allowance | null): Omit<ServicePolicy, 'leastFreshS'> {
  return {
    mostFreshS: 6 * HOUR_S,
    // With a key the free host redirects to the customers', which an operator should name.
    followsRedirects: false,
    allowance,
    tries: 3,
    limitedWaitS: 60,
    refusedHint: 'Check the API key and the plan it belongs to.',
    reasonOf,
    waitOf,
  };
}

/** The reason in the service's error object; it comes with an error status, and by way of a proxy with any. */
function reasonOf(body: string): string | null {
  if (!body.includes('"reason"')) return null;
  const wire = errorWire.safeParse(parseJson(body));
  return wire.success ? wire.data.reason : null;
}

/** The service names its limit in words only; limits start anew at the full minute, hour and UTC day. */
function waitOf(reason: string, now: EpochSeconds): number | null {
  if (/concurrent/i.test(reason)) return 5;
  if (!/limit exceeded/i.test(reason)) return null;
  if (/hour/i.test(reason)) return untilNext(HOUR_S, now);
  return /daily|tomorrow/i.test(reason) ? untilNext(DAY_S, now) : 60;
}
