/** Which actions a unit has, and what each does to its heat and water. */
import { READY_TO_USE_PERCENT, STOWED_CIRCUIT, emptiedAtDusk, holdsWater } from '../model/damage.ts';
import type { Scenario } from '../model/risk.ts';
import type { UnitModel } from '../model/unit.ts';
import {
  circuitState,
  isTrap,
  type CircuitState,
  type UnitWater,
  type WaterState,
} from '../model/water-state.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Action, Method } from './advice.ts';

export interface Option {
  readonly action: Action;
  readonly method: Method | null;
  readonly scenario: Scenario;
}

export interface OptionRequest {
  readonly unit: UnitModel;
  readonly water: UnitWater;
  /** Ice stands in the way of draining, blowing or pumping. */
  readonly frozenPath: boolean;
  readonly now: EpochSeconds;
  /** When each action's work would end if it began now. */
  readonly endOf: (action: Action) => EpochSeconds;
}

/** Far enough before any forecast. */
const ALWAYS = -1000 * 366 * DAY_S;

/**
 * The unit as it stands first, then every feasible action in rising order of work; winterizing by antifreeze
 * before air. Heat can only be switched on where there is a furnace; what is frozen cannot be drained.
 */
export function optionsOf(request: OptionRequest): Option[] {
  const { unit, water, frozenPath } = request;
  const options: Option[] = [{ action: 'nothing', method: null, scenario: asItStands(unit) }];
  if (unit.heat !== null) options.push(keepWarm(request));
  if (frozenPath) return options;
  if (unit.parts.some((p) => holdsWater(p, circuitState(water, p.circuit).state) && !isTrap(p.circuit))) {
    options.push(drain(request));
  }
  for (const method of ['antifreeze', 'air'] as const) options.push(winterize(request, method));
  return options;
}

export function asItStands(unit: UnitModel): Scenario {
  const heatOnFrom = unit.heat?.running === true ? ALWAYS : Infinity;
  return { heatOnFrom, heatOffFrom: Infinity, change: null };
}

/** Heat stops at `at`; for hours of holding out. */
export function heatStops(unit: UnitModel, at: EpochSeconds): Scenario {
  return { ...asItStands(unit), heatOffFrom: at };
}

function keepWarm({ unit, water, endOf }: OptionRequest): Option {
  const end = endOf('keep-warm');
  const circuits = emptiedAtDusk(water, { since: end, by: null });
  const scenario = {
    heatOnFrom: unit.heat?.running === true ? ALWAYS : end,
    heatOffFrom: Infinity,
    change: { at: end, water: { ...water, circuits } },
  };
  return { action: 'keep-warm', method: null, scenario };
}

function drain({ unit, water, endOf }: OptionRequest): Option {
  const end = endOf('drain');
  const kept = Object.fromEntries(
    unit.parts.filter((p) => isKept(p.circuit, water)).map(({ circuit: c }) => [c, circuitState(water, c)]),
  );
  const dry = circuitAs({ kind: 'drained', quality: 'well' }, end);
  return {
    action: 'drain',
    method: null,
    scenario: { ...asItStands(unit), change: { at: end, water: { all: dry, circuits: kept } } },
  };
}

/** Draining leaves traps as they are, and what was blown out or holds antifreeze. */
function isKept(circuit: string, water: UnitWater): boolean {
  const { kind } = circuitState(water, circuit).state;
  return isTrap(circuit) || kind === 'blown' || kind === 'antifreeze';
}

function winterize({ unit, endOf }: OptionRequest, method: Method): Option {
  const end = endOf('winterize');
  const state: WaterState =
    method === 'air' ? { kind: 'blown' } : { kind: 'antifreeze', concentrationPercent: READY_TO_USE_PERCENT };
  const water = {
    all: circuitAs(state, end),
    circuits: { [STOWED_CIRCUIT]: circuitAs({ kind: 'drained', quality: 'well' }, end) },
  };
  return { action: 'winterize', method, scenario: { ...asItStands(unit), change: { at: end, water } } };
}

function circuitAs(state: WaterState, since: EpochSeconds): CircuitState {
  return { state, since, by: null };
}
