import type { EpochSeconds } from '../../quantity/instant.ts';

/** The last good answer of a service to one request, whole. */
export interface Shelved {
  readonly url: string;
  readonly body: string;
  /** When the service last said that this is its answer, with a body or with 304. */
  readonly fetchedAt: EpochSeconds;
  readonly etag: string | null;
  /** Verbatim, to be sent back as `If-Modified-Since`. */
  readonly lastModified: string | null;
  /** Not to be asked again before; null: the service does not say. */
  readonly expiresAt: EpochSeconds | null;
}

/**
 * Where answers and the calls spent on them are kept between rounds and across restarts. A port: the store
 * implements it, `check` with one that only reads. No method rejects for a full or locked database: an answer that
 * cannot be kept is still an answer.
 */
export interface Shelf {
  find(source: string, url: string): Promise<Shelved | null>;
  keep(source: string, answer: Shelved): Promise<void>;
  /** Weighted calls spent since the start of the UTC day, of the hour and of the minute that `now` lies in. */
  spent(source: string, now: EpochSeconds): Promise<Spent>;
  spend(source: string, weight: number, now: EpochSeconds): Promise<void>;
}

export interface Spent {
  readonly day: number;
  readonly hour: number;
  readonly minute: number;
}
