import type { EpochSeconds } from '../../quantity/instant.ts';

/** How a service wants to be asked, and how it says that something is wrong. */
export interface ServicePolicy {
  /** An answer is not asked for again sooner [s], whatever its headers say: they may be absent, past or skewed. */
  readonly leastFreshS: number;
  /** Nor is it taken as new for longer than this [s] because its headers say so. */
  readonly mostFreshS: number;
  /** Whether redirects are followed: within the same origin only, three at most. */
  readonly followsRedirects: boolean;
  /** Weighted calls that may be made; beyond, we refuse to ask. Null: no limit. */
  readonly allowance: Allowance | null;
  /** Tries in all for a failure that may pass. */
  readonly tries: number;
  /** How long to leave a service alone that limits us [s], where neither a header nor its words say. */
  readonly limitedWaitS: number;
  /** A limit is taken to last at least this long [s], even where a header says less; absent: 0. */
  readonly leastLimitedWaitS?: number;
  /** What to do about a 401 or 403: a full sentence. */
  readonly refusedHint: string;
  /** After a 401 or 403 nothing is asked for so long [s]: whoever asks on is shut out for good; absent: 0. */
  readonly refusedRestS?: number;
  /** The service's own words in the body of an error, also of one that comes under a 200; null: none. */
  readonly reasonOf?: (body: string, status: number) => string | null;
  /** The wait [s] that such words ask for; not null: they speak of a limit. */
  readonly waitOf?: (reason: string, now: EpochSeconds) => number | null;
  /** Refusals below 500 that may pass when asked again. */
  readonly passing?: (status: number) => boolean;
}

/** Counted from the start of the UTC day, of the hour and of the minute; absent: no limit. */
export interface Allowance {
  readonly day?: number;
  readonly hour?: number;
  readonly minute?: number;
}
