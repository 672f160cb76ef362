/** What all members of an outlook have in common is solved once: where a solver stood when they part. */
import type { HeatPlan } from './heat-plan.ts';
import type { HourlyAir } from './hourly-air.ts';
import { Lately } from './lately.ts';
import { MOST_NODES, type Regime } from './linear-system.ts';
import type { NodeState } from './node-state.ts';
import { Supply } from './supply.ts';
import type { ZoneTrack } from './zone-track.ts';

/** One member's way through a unit. */
export interface Passage {
  air: HourlyAir;
  plan: HeatPlan;
  /** Filled anew, but for the past that it shares with the member before. */
  readonly track: ZoneTrack;
}

/** All that a solver takes from one stretch to the next. */
export interface Standing {
  readonly state: NodeState;
  readonly regime: Regime;
  readonly supply: Supply;
  readonly lately: Lately | null;
}

/** The end of the shared hours under one plan, kept for the members after the first. */
export class Past {
  #plan: HeatPlan | null = null;
  #hours = 0;
  readonly #nodesC = new Float64Array(MOST_NODES);
  readonly #regime: Pick<Regime, 'piece' | 'capped'> = { piece: 'off', capped: false };
  readonly #supply = new Supply();
  readonly #lately = new Lately();
  #gasShortS = Infinity;

  /** Forgets what was kept. */
  clear({ track }: Passage): void {
    this.#plan = null;
    track.past = 0;
  }

  keep({ air, plan, track }: Passage, { state, regime, supply, lately }: Standing): void {
    this.#plan = plan;
    this.#hours = air.sharedHours ?? 0;
    this.#nodesC.set(state.temperatureC);
    this.#regime.piece = regime.piece;
    this.#regime.capped = regime.capped;
    this.#supply.become(supply);
    if (lately !== null) this.#lately.become(lately);
    this.#gasShortS = track.gasShortS;
    track.past = track.count;
    track.pasts++;
  }

  /** Puts a solver back to the end of the shared hours; returns how many they are, 0 where none are kept for this. */
  resume({ air, plan, track }: Passage, { state, regime, supply, lately }: Standing): number {
    if (plan !== this.#plan || air.sharedHours !== this.#hours) return 0;
    state.temperatureC.set(this.#nodesC);
    regime.piece = this.#regime.piece;
    regime.capped = this.#regime.capped;
    supply.become(this.#supply);
    lately?.become(this.#lately);
    track.gasShortS = this.#gasShortS;
    track.count = track.past;
    return this.#hours;
  }
}
