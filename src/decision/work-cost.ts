/** What it costs to carry out an action: hours, fluid, and the gas that it burns. */
import { partialGallons, type Route } from '../model/catalogue-work.ts';
import type { Action, Method } from './advice.ts';
import type { Costs } from './costs.ts';
import type { Work } from './policy.ts';

export interface WorkDone {
  readonly action: Action;
  readonly method: Method | null;
  readonly minutes: number;
  /** Circuits to be done; null: all. */
  readonly circuits: readonly string[] | null;
  /** Beyond what the unit burns as it stands [kg]. */
  readonly moreGasKg: number;
}

export interface WorkAt {
  readonly work: Work;
  readonly route: Route;
  readonly costs: Costs;
}

/** 4.24 lb to the gallon: from memory, as gas tables give it. */
const GAS_KG_PER_GALLON = 1.92;

export function workCost(done: WorkDone, { work, route, costs }: WorkAt): number {
  if (done.action === 'nothing') return 0;
  const hour = work.hands === 'crew' ? costs.serviceHour : costs.ownHour;
  const hours = (done.minutes + work.travelMinutes) / 60;
  const gas = (Math.max(0, done.moreGasKg) / GAS_KG_PER_GALLON) * costs.gasPerGallon;
  const fluid = gallonsFor(done, route) * costs.antifreezePerGallon;
  return Math.round((hours * hour + fluid + gas) * 100) / 100;
}

/** Antifreeze that goes in. */
function gallonsFor(
  { action, method, circuits }: Pick<WorkDone, 'action' | 'method' | 'circuits'>,
  { antifreezeGallons, airGallons }: Route,
): number {
  if (action !== 'winterize') return 0;
  const whole = method === 'air' ? airGallons : antifreezeGallons;
  return circuits === null ? whole : partialGallons(circuits, whole);
}
