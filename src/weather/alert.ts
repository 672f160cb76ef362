import type { EpochSeconds } from '../quantity/instant.ts';

/** A warning of an official weather service, to be quoted as its issuer's, never as ours. */
export interface Alert {
  /** Stays the same while the warning is updated. */
  readonly event: string;
  /** As the issuer names it, such as "Freeze Warning". */
  readonly title: string;
  readonly issuer: string;
  readonly headline: string | null;
  readonly sentAt: EpochSeconds;
  readonly onsetAt: EpochSeconds | null;
  /** End of what is warned of, or else of the text's validity. */
  readonly endsAt: EpochSeconds | null;
}
