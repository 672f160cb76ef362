/**
 * Every failure the program can name, in one place.
 *
 * A code is stable: scripts and the documentation refer to it. Whether to try again is decided once, where
 * the foreign failure is translated, and carried in `retryable`.
 */

/**
 * Exit codes of the outside contract. Several at once: the first of `EXIT_PRECEDENCE` that applies.
 * `interrupted` is the shell's own convention for a command ended by Ctrl-C.
 */
export const EXIT = {
  ok: 0,
  bug: 1,
  usage: 2,
  noForecast: 3,
  undelivered: 4,
  store: 5,
  action: 10,
  interrupted: 130,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

export const EXIT_PRECEDENCE: readonly ExitCode[] = [
  EXIT.usage,
  EXIT.store,
  EXIT.action,
  EXIT.noForecast,
  EXIT.undelivered,
];

interface Detail {
  readonly retryable?: boolean;
  /** What the operator can do next, as a full sentence. */
  readonly hint?: string;
  readonly cause?: unknown;
}

abstract class DrainbyError<Code extends string> extends Error {
  readonly code: Code;
  readonly retryable: boolean;
  readonly hint: string | null;

  constructor(code: Code, message: string, detail: Detail = {}) {
    super(message, detail.cause === undefined ? undefined : { cause: detail.cause });
    this.code = code;
    this.retryable = detail.retryable ?? false;
    this.hint = detail.hint ?? null;
  }
}

/** The call itself is wrong: an unknown unit, an instant that is none. Exit 2. */
export class UsageError extends DrainbyError<'usage'> {
  override readonly name = 'UsageError';
  constructor(message: string, detail: Detail = {}) {
    super('usage', message, detail);
  }
}

export type ConfigErrorCode = 'config-unreadable' | 'config-invalid';

/** The config cannot be used. `problems` holds every mistake as `file:line:column path: rule, what was found`. Exit 2. */
export class ConfigError extends DrainbyError<ConfigErrorCode> {
  override readonly name = 'ConfigError';
  readonly problems: readonly string[];
  constructor(code: ConfigErrorCode, problems: readonly string[], detail: Detail = {}) {
    super(code, problems.join('\n'), detail);
    this.problems = problems;
  }
}

export type SourceErrorCode =
  | 'source-unreachable'
  | 'source-timeout'
  | 'source-http'
  | 'source-refused'
  | 'source-limited'
  | 'source-body'
  | 'source-units'
  | 'source-too-large'
  | 'source-missing-place'
  | 'source-file'
  | 'forecast-empty'
  | 'forecast-stale'
  | 'forecast-short'
  | 'forecast-implausible';

/** A weather source gave no usable answer for a place. Exit 3. */
export class SourceError extends DrainbyError<SourceErrorCode> {
  override readonly name = 'SourceError';
  /** Seconds to wait before asking again, where the service said so; null: not said. */
  readonly retryAfterS: number | null;
  constructor(code: SourceErrorCode, message: string, detail: Detail & { retryAfterS?: number } = {}) {
    super(code, message, detail);
    this.retryAfterS = detail.retryAfterS ?? null;
  }
}

export type StoreErrorCode = 'store-locked' | 'store-damaged' | 'store-newer' | 'store-unreachable';

/** The database cannot be used. Exit 5. */
export class StoreError extends DrainbyError<StoreErrorCode> {
  override readonly name = 'StoreError';
}

export type DeliveryErrorCode =
  'delivery-refused' | 'delivery-unreachable' | 'delivery-unsure' | 'delivery-config';

/** A message could not be handed over. Permanent when `retryable` is false. Exit 4 once it is too late. */
export class DeliveryError extends DrainbyError<DeliveryErrorCode> {
  override readonly name = 'DeliveryError';
  /** Seconds that the other side asks to wait before another attempt; null: not said. */
  readonly retryAfterS: number | null;
  constructor(code: DeliveryErrorCode, message: string, detail: Detail & { retryAfterS?: number } = {}) {
    super(code, message, detail);
    this.retryAfterS = detail.retryAfterS ?? null;
  }
}

/** The model was asked for something outside its range of validity. */
export class ModelError extends DrainbyError<'model-range'> {
  override readonly name = 'ModelError';
  constructor(message: string, detail: Detail = {}) {
    super('model-range', message, detail);
  }
}
