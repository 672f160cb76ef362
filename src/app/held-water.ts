/** Which of two statements about a unit's water holds: the newer of the config's and the last mark's. */
import type { UnitConfig } from '../config/config.ts';
import type { Memory } from '../decision/memory.ts';
import { isTank, isTrap } from '../model/circuit-names.ts';
import { outsideCircuits } from '../model/outside-circuits.ts';
import type { UnitModel } from '../model/unit.ts';
import {
  circuitState,
  isWet,
  type CircuitState,
  type UnitWater,
  type WaterKind,
} from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';

export interface HeldWater {
  readonly water: UnitWater;
  /** Null: never stated. */
  readonly waterAt: EpochSeconds | null;
  readonly saidBy: 'config' | 'mark';
}

type Marked = Pick<UnitRecord, 'water' | 'waterAt' | 'damaged'>;

/** What the config says of a time to come does not hold yet, and unknown counts as wet; where the record is damaged, nothing is known. */
export function heldWater(unit: UnitConfig, record: Marked | null, now: EpochSeconds): HeldWater {
  if (record?.damaged === true) return { water: UNKNOWN, waterAt: null, saidBy: 'mark' };
  const configured = configuredWater(unit, now);
  const [water, waterAt] = [record?.water ?? null, record?.waterAt ?? null];
  if (water === null) return configured;
  if ((waterAt ?? -Infinity) < (configured.waterAt ?? -Infinity)) return configured;
  return { water, waterAt, saidBy: 'mark' };
}

const UNSAID: CircuitState = { state: { kind: 'unknown' }, since: null, by: null };
const UNKNOWN: UnitWater = { all: UNSAID, circuits: {} };

function configuredWater({ water, waterSince }: UnitConfig, now: EpochSeconds): HeldWater {
  const known = (circuit: CircuitState): CircuitState =>
    isYetToCome(circuit, now) && circuit.state.kind !== 'wet' ? UNSAID : circuit;
  const circuits = Object.entries(water.circuits).map(([id, circuit]) => [id, known(circuit)] as const);
  return {
    water: { ...water, all: known(water.all), circuits: Object.fromEntries(circuits) },
    waterAt: waterSince !== null && waterSince > now ? null : waterSince,
    saidBy: 'config',
  };
}

function isYetToCome({ since }: CircuitState, now: EpochSeconds): boolean {
  return since !== null && since > now;
}

/** The latest time from which the config says something that cannot hold yet; null: there is none. */
export function yetToCome({ water }: UnitConfig, now: EpochSeconds): EpochSeconds | null {
  const later = [water.all, ...Object.values(water.circuits)].filter((circuit) => isYetToCome(circuit, now));
  return later.length === 0 ? null : Math.max(...later.map(({ since }) => since ?? now));
}

/**
 * Lines are drained, and none is blown out or holds antifreeze: that was done for the season. Tanks may be empty. What
 * was emptied at dusk by whoever keeps it warm and lives on its water is no drain.
 */
export function standsDrained({ parts }: UnitModel, water: UnitWater): boolean {
  if (water.keptWarm === true) return false;
  const kinds = kindsInLines(parts, water);
  return kinds.includes('drained') && !kinds.includes('blown') && !kinds.includes('antifreeze');
}

/** Where it was not kept which circuits were asked for, all that can be emptied alone were. */
type Asked = Pick<NonNullable<Memory['advice']>, 'action' | 'circuits'>;

/** What was asked has been done, by what was said of the water since; what it is worth only a forecast can tell. */
export function isDone(unit: UnitModel, water: UnitWater, { action, circuits }: Asked): boolean {
  const kinds = kindsInLines(unit.parts, water);
  const isEmptied = !kinds.includes('wet') && !kinds.includes('unknown');
  switch (action) {
    case 'nothing':
      return true;
    case 'keep-warm':
      return water.keptWarm === true || isEmptied;
    case 'drain-part':
      return (circuits ?? outsideCircuits(unit)).every((id) => !isWet(circuitState(water, id).state));
    case 'drain':
      return isEmptied;
    case 'winterize':
      return isEmptied && kinds.some((kind) => kind === 'blown' || kind === 'antifreeze');
  }
}

function kindsInLines(parts: UnitModel['parts'], water: UnitWater): WaterKind[] {
  const lines = parts.filter(({ circuit }) => !isTank(circuit) && !isTrap(circuit));
  return lines.map(({ circuit }) => circuitState(water, circuit).state.kind);
}
