/** Antifreeze in a circuit: how strong it is there, and how much cold it bears. */
import {
  READY_TO_USE_PERCENT,
  STRONGEST_PERCENT,
  burstPointC,
  freezingPointC,
  mixedPercent,
  type Fluid,
} from './antifreeze.ts';
import { isTrap } from './circuit-names.ts';

export interface Filling {
  /** Percent by volume, as measured or stated; absent: nobody did. */
  readonly concentrationPercent?: number;
  /** Absent: propylene glycol. */
  readonly fluid?: Fluid;
}

/** What is pumped in with the heater bypassed: 2 gal (1 to 2.5). Common practice, no source. */
export const POURED_LITRES = 7.6;

/** What a good drain leaves in the lines (0.3 to 0.8); its cautious end. Common practice, no source. */
export const LEFT_LITRES = 0.8;

/**
 * Percent by volume in a circuit. Unmeasured it is ready-to-use fluid: in lines mixed with what a good drain leaves,
 * in a trap as it is, since it pushes the water out ahead of it.
 */
export function percentIn(circuit: string, { concentrationPercent }: Filling): number {
  if (concentrationPercent !== undefined) return concentrationPercent;
  if (isTrap(circuit)) return READY_TO_USE_PERCENT;
  return mixedPercent({
    fluidPercent: READY_TO_USE_PERCENT,
    addedLitres: POURED_LITRES,
    leftLitres: LEFT_LITRES,
  });
}

/**
 * Share of ice in the slush that a trap bears: it stands open at both ends and gives way, so the slush may rise in it.
 * The makers' burst points lie at 0.31 to 0.40 of ice by the balance of the glycol. Engineering estimate, 0.36 to 0.6.
 */
const TRAP_ICE_SHARE = 0.44;

/** Down to this it breaks nothing in that circuit [°C]. */
export function bearsC(circuit: string, filling: Filling): number {
  const percent = percentIn(circuit, filling);
  const closed = burstPointC(percent, filling.fluid);
  if (!isTrap(circuit) || filling.fluid === 'ethanol') return closed;
  const unfrozen = Math.min(STRONGEST_PERCENT, percent / (1 - TRAP_ICE_SHARE));
  return Math.min(closed, freezingPointC('glycol', unfrozen));
}
