/** What work, fluid, gas and repairs cost. From the config's `policy.costs`. */
import { REPAIRS, type RepairId } from './repairs.ts';

export interface Costs {
  /** How the currency is written: a code or a sign. */
  readonly currency: string;
  /** An hour of the owner's own time, of a crew's, and of a workshop's. */
  readonly ownHour: number;
  readonly serviceHour: number;
  readonly shopHour: number;
  readonly antifreezePerGallon: number;
  readonly gasPerGallon: number;
  /** A floor flooded at the thaw. */
  readonly flood: number;
  /** All in, in place of the part and its hours. */
  readonly repairs: Readonly<Partial<Record<RepairId, number>>>;
}

/**
 * US dollars. Common practice of the trade, no source: own time 25 an hour, service 130, workshop 150, antifreeze 4 to
 * 10 a gallon, a flooded floor 4,000. Gas: engineering estimate.
 */
export const DEFAULT_COSTS: Costs = {
  currency: 'USD',
  ownHour: 25,
  serviceHour: 130,
  shopHour: 150,
  antifreezePerGallon: 7,
  gasPerGallon: 4,
  flood: 4000,
  repairs: {},
};

/** What one repair costs, all in. */
export function repairPrice(id: RepairId, { repairs, shopHour }: Costs): number {
  const { part, hours } = REPAIRS[id];
  return repairs[id] ?? part + hours * shopHour;
}
