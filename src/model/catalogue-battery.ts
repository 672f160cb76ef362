/** What a battery still gives, and what the heat draws from it. Common practice and engineering estimates. */
import type { Battery } from './unit.ts';

export const BATTERY_KINDS = ['lead', 'lithium'] as const;
export type BatteryKind = (typeof BATTERY_KINDS)[number];

export interface BatterySpec {
  /** As printed on it [Ah]. */
  readonly capacityAh: number;
  readonly kind: BatteryKind;
  /** Share of its charge, 0 to 1. */
  readonly charge: number;
  readonly ageYears: number;
  /** Furnace at full power [W], by which the blower goes; 0: none. */
  readonly furnaceW: number;
}

interface Chemistry {
  /** Share of the capacity that is of use before the voltage falls too low. */
  readonly usable: number;
  /** Of that, what is left at −15 °C. */
  readonly atMinus15: number;
  /** Capacity lost per year of age, and the least that is left. */
  readonly lossPerYear: number;
  readonly least: number;
}

/** Lead: half usable, ×0.6 in the cold: practice. The rest are engineering estimates. */
const CHEMISTRY: Readonly<Record<BatteryKind, Chemistry>> = {
  lead: { usable: 0.5, atMinus15: 0.6, lossPerYear: 0.08, least: 0.5 },
  lithium: { usable: 0.9, atMinus15: 0.8, lossPerYear: 0.02, least: 0.7 },
};

/** One ordinary battery, for a unit off shore power that says nothing of its own. */
export const USUAL_BATTERY = { capacityAh: 85, kind: 'lead', charge: 1, ageYears: 0 } as const;

/** Blowers draw 3.5, 7 and 10 A for furnaces of 18, 30 and 40 thousand BTU/h of input, 75 % of which is heat. */
const BLOWERS: readonly (readonly [furnaceW: number, amperes: number])[] = [
  [3956, 3.5],
  [6594, 7],
  [8792, 10],
];
/** Boards, detectors and what else never rests. */
const STANDBY_A = 0.7;

export function batteryOf({ capacityAh, kind, charge, ageYears, furnaceW }: BatterySpec): Battery {
  const { usable, atMinus15, lossPerYear, least } = CHEMISTRY[kind];
  const aged = Math.max(least, 1 - lossPerYear * ageYears);
  return {
    usableAh: capacityAh * charge * usable * aged,
    shareAtMinus15: atMinus15,
    blowerA: blowerAmperes(furnaceW),
    standbyA: STANDBY_A,
  };
}

/** Linear between the sizes of the trade, the ends beyond them. */
function blowerAmperes(furnaceW: number): number {
  if (furnaceW <= 0) return 0;
  for (let i = 1; i < BLOWERS.length; i++) {
    const [w0 = 0, a0 = 0] = BLOWERS[i - 1] ?? [];
    const [w1 = 0, a1 = 0] = BLOWERS[i] ?? [];
    if (furnaceW <= w1) return a0 + ((a1 - a0) * Math.max(0, furnaceW - w0)) / (w1 - w0);
  }
  return BLOWERS.at(-1)?.[1] ?? 0;
}
