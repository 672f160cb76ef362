/** A list of many units before it is text or HTML: both show the same, in the same order. */
/** A unit's line, and whose place it stands at. */
export interface ListedUnit {
  readonly label: string;
  readonly what: string;
  /** `Thu 26 Nov, 15:10 MST`, `now`; empty: there is nothing to start. */
  readonly by: string;
  readonly because: string;
  /** What the work takes, how the unit stands and whose it is; empty: not kept. */
  readonly stands: string;
}

export interface ListedPlace {
  /** Null: all units are at one place, or where they are was not kept. */
  readonly label: string | null;
  readonly units: readonly ListedUnit[];
}

export interface ListBody {
  readonly subject: string;
  readonly places: readonly ListedPlace[];
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
  /** Where the forecasts come from, and how old they are. */
  readonly origin: readonly string[];
}
