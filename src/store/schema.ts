import type { Generated } from 'kysely';

/** One row per unit, updated in place. `memory` and `water` are JSON. */
export interface UnitTable {
  readonly unit: string;
  version: number;
  water: string | null;
  water_at: number | null;
  checked_at: number | null;
  memory: string;
}

/** What a unit was after a change that a person may ask about later. */
export interface UnitHistoryTable {
  readonly id: Generated<number>;
  readonly unit: string;
  readonly version: number;
  readonly at: number;
  readonly cause: 'round' | 'mark';
  readonly by: string | null;
  readonly water: string | null;
  readonly checked_at: number | null;
  readonly memory: string;
}

export interface RoundTable {
  readonly id: string;
  started_at: number;
  finished_at: number;
  places_with_forecast: number;
  places_without: number;
}

export type OutboxState = 'waiting' | 'sent' | 'failed' | 'expired' | 'superseded';

export interface OutboxTable {
  readonly id: Generated<number>;
  readonly episode: string;
  readonly kind: string;
  readonly action: string;
  readonly person: string;
  readonly channel: string;
  readonly unit: string;
  /** The round that put it here. */
  round: string;
  /** The whole message as JSON. */
  message: string;
  use_before: number;
  /** When it may next be claimed: at its own time, after the wait of a failed attempt, or when the claim on it lapses. */
  due_at: number;
  state: OutboxState;
  attempt: number;
  /** Who is sending it now, until `due_at`; null: nobody. */
  claimed_by: string | null;
  /** The newer message that made this one pointless while it was being sent. */
  superseded_by: number | null;
  last_error: string | null;
  /** Attempts after which the message may have arrived all the same. */
  unsure_attempts: Generated<number>;
  settled_at: number | null;
}

export interface Schema {
  readonly unit: UnitTable;
  readonly unit_history: UnitHistoryTable;
  readonly round: RoundTable;
  readonly outbox: OutboxTable;
}
