import type { Allowance } from '../http/policy.ts';
import type { ServiceOptions } from '../http/service.ts';
import type { Heights } from './request.ts';

type Wire = Pick<
  ServiceOptions,
  'id' | 'dispatcher' | 'userAgent' | 'shelf' | 'timeouts' | 'maxBodyBytes' | 'random' | 'sleep'
>;

/** How one address of the service is asked. */
export interface OpenMeteoAccess extends Wire {
  /** The key itself; it travels in a header, so that no address in a log or an error holds it. */
  readonly apiKey: string | null;
  /** Weighted calls in a day, an hour, a minute. Absent: those of the free service, and none with a key. Null: none. */
  readonly allowance?: Allowance | null;
  /** An answer is not asked for again sooner [s]. Absent: what suits the public service. */
  readonly leastFreshS?: number;
}

export interface OpenMeteoOptions extends OpenMeteoAccess {
  readonly baseUrl: string;
  readonly ensembleBaseUrl: string;
  /** Names of ensemble models, in the order of asking; none: the single forecast alone. */
  readonly ensembles: readonly string[];
  readonly horizonHours: number;
  /** Absent: those of the grid cells. */
  readonly heights?: Heights;
  /**
   * `best-match`: the single forecast is of models that compute every hour at first and more seldom later. Absent: it is
   * hourly throughout.
   */
  readonly steps?: 'best-match';
  /** An ensemble without a new run for longer than this is left out. */
  readonly staleAfterHours: number;
}
