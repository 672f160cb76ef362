import type { EpochSeconds } from '../quantity/instant.ts';
import type { UnitModel } from './unit.ts';
import type { UnitWater } from './water-state.ts';

/** From here on: whether furnace and heaters are on, whether there is shore power, whether burners have gas. */
export interface Switch {
  readonly at: EpochSeconds;
  readonly heat: boolean;
  readonly shore: boolean;
  readonly gas: boolean;
}

/** In order of time; before the first, heat is off. */
export interface HeatPlan {
  readonly switches: readonly Switch[];
  /** Gas and battery are what they are said to be at this instant, and draw from then on. */
  readonly suppliedFrom: EpochSeconds;
}

export const NEVER_HEATED: HeatPlan = { switches: [], suppliedFrom: Infinity };
export const ALWAYS_HEATED: HeatPlan = {
  switches: [{ at: -Infinity, heat: true, shore: true, gas: true }],
  suppliedFrom: Infinity,
};

/** A plan with the unit's days on the road worked in: under way there is neither furnace nor shore power. */
export function underWay(plan: HeatPlan, { tows = [] }: UnitModel): HeatPlan {
  if (tows.length === 0) return plan;
  const instants = [...plan.switches.map((s) => s.at), ...tows.flatMap((t) => [t.from, t.until])];
  const switches = [...new Set(instants)]
    .toSorted((x, y) => x - y)
    .map((at) => {
      const on = switchAt(plan, at);
      return tows.some((t) => at >= t.from && at < t.until)
        ? { at, heat: false, shore: false, gas: false }
        : { ...on, at };
    });
  return { ...plan, switches };
}

const OFF: Omit<Switch, 'at'> = { heat: false, shore: true, gas: true };

export function switchAt({ switches }: HeatPlan, at: EpochSeconds): Omit<Switch, 'at'> {
  return switches.findLast((s) => s.at <= at) ?? OFF;
}

/** Whether its heat is on now, by config or by hand. */
export function isWarmedBy({ heat }: UnitModel, { keptWarm }: UnitWater): boolean {
  return heat !== null && (heat.running || keptWarm === true);
}
