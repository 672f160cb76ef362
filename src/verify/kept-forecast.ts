import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * What a forecast said of one UTC day, so many days ahead, as kept for scoring: by hour, 24 values each, NaN
 * where it knew nothing. Taken from the members as they were used, with every correction.
 */
export interface KeptForecast {
  readonly place: string;
  readonly source: string;
  /** When the round looked. */
  readonly keptAt: EpochSeconds;
  /** 00:00 UTC. */
  readonly validDay: EpochSeconds;
  /** Whole days from the day of keeping to the valid day; 0 is the same day. */
  readonly leadDay: number;
  readonly meanC: readonly number[];
  /**
   * How far the truth stands from the mean if it is one more member like the others: the members' standard deviation,
   * and for their small number N a factor √((N + 1)/(N − 1)) [K].
   */
  readonly deviationK: readonly number[];
  readonly quantilesC: {
    readonly q05: readonly number[];
    readonly q25: readonly number[];
    readonly q50: readonly number[];
    readonly q75: readonly number[];
    readonly q95: readonly number[];
  };
  /** Weight of the members below 0 °C, and at or below −4 °C. */
  readonly below0: readonly number[];
  readonly atOrBelowMinus4: readonly number[];
  /**
   * The members before readings corrected and spread them: what is learned from must not hold what was learned. The
   * same of a forecast that nothing was learned for.
   */
  readonly untaught: {
    readonly meanC: readonly number[];
    readonly deviationK: readonly number[];
  };
}
