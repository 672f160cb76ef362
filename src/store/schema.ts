import type { Generated } from 'kysely';
import type { ReadingOrigin } from '../weather/reading.ts';

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
  /** JSON: the channels that come after this one, the first that takes it being enough. Null: each has a row of its own. */
  ways: string | null;
  /** 1: it cannot wait. */
  urgent: Generated<number>;
  /** Until when this way alone is relied on; null: for as long as the message is of use. */
  patience_ends: number | null;
  /** 1: goes out together with what else is due for the same reader over the same channel. */
  gathers: Generated<number>;
  /** Message-ID of the group that it was claimed in, kept until that group is known not to have arrived. */
  batch: string | null;
  settled_at: number | null;
}

/** The last good answer of a service to one request. `body` is compressed (gzip). */
export interface ShelfTable {
  readonly source: string;
  readonly url: string;
  body: Buffer;
  etag: string | null;
  last_modified: string | null;
  expires_at: number | null;
  fetched_at: number;
}

/** Weighted calls by the UTC minute that they were made in. */
export interface SpentCallTable {
  readonly source: string;
  readonly minute: number;
  weight: number;
}

export interface ReadingTable {
  readonly place: string;
  readonly at: number;
  /** Empty: of the place itself. */
  readonly unit: string;
  readonly zone: string;
  readonly origin: ReadingOrigin;
  temperature_c: number;
  /** When it was written, or last changed. */
  learned_at: number;
}

export interface TruthTable {
  readonly place: string;
  readonly at: number;
  readonly kind: 'station' | 'archive';
  readonly name: string;
  temperature_c: number;
}

export interface PastHourTable {
  readonly place: string;
  readonly hour: number;
  source: string;
  temperature_c: number;
  wind_speed_mps: number | null;
  cloud_percent: number | null;
  soil_temperature_c: number | null;
  grid_elevation_m: number | null;
}

/** `said` is JSON: see `kept.ts`. */
export interface KeptForecastTable {
  readonly place: string;
  readonly valid_day: number;
  readonly source: string;
  readonly lead_day: number;
  readonly kept_at: number;
  readonly said: string;
}

/** What a place has taught about one source; `state` is the learner's own, as JSON. */
export interface PlaceRecordTable {
  readonly place: string;
  readonly source: string;
  state: string;
  updated_at: number;
}

/** `details` is JSON. */
export interface AnswerTable {
  readonly id: Generated<number>;
  readonly unit: string;
  readonly person: string | null;
  readonly answer: string;
  readonly at: number;
  readonly recorded_at: number;
  readonly until: number | null;
  readonly basis: 'seen' | 'said';
  readonly via: 'link' | 'command';
  readonly episode: string | null;
  readonly link: string | null;
  readonly details: string;
  ended_at: number | null;
}

export interface SigningKeyTable {
  readonly purpose: string;
  key: Buffer;
  made_at: number;
}

export interface Schema {
  readonly answer: AnswerTable;
  readonly signing_key: SigningKeyTable;
  readonly shelf: ShelfTable;
  readonly spent_call: SpentCallTable;
  readonly reading: ReadingTable;
  readonly truth: TruthTable;
  readonly past_hour: PastHourTable;
  readonly kept_forecast: KeptForecastTable;
  readonly place_record: PlaceRecordTable;
  readonly unit: UnitTable;
  readonly unit_history: UnitHistoryTable;
  readonly round: RoundTable;
  readonly outbox: OutboxTable;
}
