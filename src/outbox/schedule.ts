import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * Seconds to wait after the first, second, … failed attempt. A server that puts off unknown senders lets them
 * in after some minutes, and one that restarts is back within one or two; so the first steps are short. The
 * last step repeats until the message's time runs out, and is short beside a start-by time: when a server is
 * back after hours, the message goes out within a quarter of an hour. What is lost then is reported.
 */
const DELAYS_S: readonly number[] = [
  10, // a dropped connection
  30,
  60, // a restart
  120,
  300, // a server that puts off unknown senders
  600,
  900, // an outage
];

/**
 * Seconds to wait where the server had the whole message and did not say whether it took it, after the first and
 * the second such attempt. It mostly did, and every attempt may be another copy to the reader; so there are few,
 * far apart, and one more ends it.
 */
const UNSURE_DELAYS_S: readonly number[] = [
  1800, // a server that was overloaded has worked off its queue
  7200,
];

/** How long one way to a reader is relied on alone before the next is taken beside it. Engineering estimates. */
const PATIENCE_S = {
  urgent: 1800, // what cannot wait: longer than a server takes that puts off unknown senders
  calm: 21_600, // what can: an outage of a morning needs no second message
} as const;

/** Nor longer than this share of the time left, so that two more ways have theirs. */
const SHARE_OF_TIME_LEFT = 1 / 3;

/**
 * How long a claim holds from its beginning and from each time it is renewed: what a killed process had in hand
 * waits no longer than that.
 */
const CLAIM_S = 60;

/** How many times a claim is renewed within the time that it holds: one or two may fail, as when the database is locked. */
const RENEWALS_PER_CLAIM = 3;

/** Spread about the step, so that many messages do not come back all at once. */
const JITTER_SHARE = 0.2;

/**
 * Seconds from a failed attempt to the next.
 *
 * @param attempt the attempt that failed, from 1
 * @param jitter in [0, 1); 0.5 gives the table's own value
 */
export function retryDelay(attempt: number, jitter: number): number {
  const step = Math.min(Math.max(attempt, 1), DELAYS_S.length) - 1;
  const delay = DELAYS_S[step] ?? 0;
  return spread(delay, jitter);
}

/**
 * Seconds from an attempt of unknown end to the next; null: there is none.
 *
 * @param attempt the how many-th of unknown end it was, from 1
 * @param jitter in [0, 1); 0.5 gives the table's own value
 */
export function unsureDelay(attempt: number, jitter: number): number | null {
  const delay = UNSURE_DELAYS_S[Math.max(attempt, 1) - 1];
  return delay === undefined ? null : spread(delay, jitter);
}

/**
 * Until when a way that is taken at `from` is relied on alone.
 *
 * @param message whether it cannot wait, and when it ceases to be of use
 */
export function patienceEnds(
  { urgent, useBefore }: { readonly urgent: boolean; readonly useBefore: EpochSeconds },
  from: EpochSeconds,
): EpochSeconds {
  const left = Math.max(0, useBefore - from);
  return from + Math.min(urgent ? PATIENCE_S.urgent : PATIENCE_S.calm, left * SHARE_OF_TIME_LEFT);
}

/**
 * How long a claim holds, and how often it is renewed while the message is on its way; in seconds.
 *
 * @param longestSeconds how long an attempt may take in all
 */
export function claimTimes(longestSeconds: number): { readonly holds: number; readonly renewEvery: number } {
  const holds = Math.min(CLAIM_S, longestSeconds);
  return { holds, renewEvery: holds / RENEWALS_PER_CLAIM };
}

function spread(delay: number, jitter: number): number {
  return delay * (1 + JITTER_SHARE * (2 * jitter - 1));
}

/** Whether a message may still be sent: at its last instant it is already too late. */
export function isUsable(useBefore: EpochSeconds, now: EpochSeconds): boolean {
  return now < useBefore;
}
