/** Which actions a unit has, and what each does to its heat and water. */
import { isTank, isTrap } from '../model/circuit-names.ts';
import { STOWED_CIRCUIT, emptiedAtDusk, holdsWater } from '../model/damage.ts';
import { bearsC, type Filling } from '../model/filling.ts';
import type { HeatPlan, Switch } from '../model/heat-plan.ts';
import type { Warming } from '../model/kept-warm.ts';
import type { Measure } from '../model/measure.ts';
import { outsideCircuits } from '../model/outside-circuits.ts';
import type { Scenario } from '../model/risk.ts';
import type { UnitModel } from '../model/unit.ts';
import { circuitState, isWet, type UnitWater, type WaterState } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Action, Method } from './advice.ts';
import { tripped } from './tripped.ts';

export interface Option {
  readonly action: Action;
  readonly method: Method | null;
  readonly scenario: Scenario;
  /** Circuits to be done where the rest is done already or cannot be; null: all. */
  readonly circuits: readonly string[] | null;
  /** Circuits that ice closes and that it leaves as they are; absent: none. */
  readonly closed?: readonly string[];
  /** What keeping it warm takes; null: it is not kept warm. */
  readonly measures: readonly Measure[] | null;
}

export interface OptionRequest {
  readonly unit: UnitModel;
  /** Ways in which it can be kept warm, each within what the post bears; empty: it cannot be. */
  readonly warmings: readonly Warming[];
  /** Somebody lives in it and stays when it has been drained. */
  readonly attended: boolean;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
  /** Nothing after this is asked of what is done; of the unit as it stands everything is. */
  readonly until: EpochSeconds;
  /** The coldest air that any member brings until then [°C]. */
  readonly coldestC: number;
  /** Circuits that ice closes when the work begins: they can be neither drained, blown nor pumped. */
  readonly frozen: ReadonlySet<string>;
  /** When the hose is off and stowed, which comes before everything else. */
  readonly stowedAt: EpochSeconds;
  /** When each action's work would end if it began now. */
  readonly endOf: (action: Action, method?: Method) => EpochSeconds;
}

/**
 * The unit as it stands first, then every feasible action in rising order of work; winterizing by antifreeze
 * before air. What is frozen stays as it is.
 */
export function optionsOf(request: OptionRequest): Option[] {
  const { unit, warmings, now } = request;
  const scenario = asItStands(unit, request.water, now);
  const options: Option[] = [{ action: 'nothing', method: null, scenario, circuits: null, measures: null }];
  options.push(...warmings.map((warming) => keepWarm(request, warming)));
  const drained = drain(request);
  const outside = drained === null ? null : drainPart(request, drained);
  if (outside !== null) options.push(outside);
  if (drained !== null) options.push(drained);
  for (const method of ['antifreeze', 'air'] as const) {
    const winterized = winterize(request, method);
    if (winterized !== null) options.push(winterized);
  }
  return options;
}

const ALL_ON = { heat: true, shore: true, gas: true } as const;
const HEAT_OFF = { ...ALL_ON, heat: false } as const;
const ALL_OFF = { heat: false, shore: false, gas: false } as const;

/** Heat as it has been: running all along, or since somebody switched it on. */
function switchesOf({ heat }: UnitModel, { keptWarm, keptWarmSince }: UnitWater): readonly Switch[] {
  const running = heat?.running === true;
  if (running && (keptWarm !== true || keptWarmSince === undefined)) return [{ at: -Infinity, ...ALL_ON }];
  const before = { at: -Infinity, ...HEAT_OFF };
  return keptWarm === true ? [before, { at: keptWarmSince ?? -Infinity, ...ALL_ON }] : [before];
}

/** Gas and charge are what they are said to be when they were read, or else now. */
function gaugedAt({ heat }: UnitModel, now: EpochSeconds): EpochSeconds {
  return Math.min(now, heat?.gaugedAt ?? now);
}

/** As it has been, with the post tripped from now on where it does not bear what is on. */
export function asItStands(unit: UnitModel, water: UnitWater, now: EpochSeconds): Scenario {
  const switches = tripped(unit, switchesOf(unit, water), now);
  const plan = { switches, suppliedFrom: gaugedAt(unit, now) };
  return { unit: null, plan, change: null, until: Infinity };
}

/** All heat stops at `at`, and power with it; for hours of holding out. */
export function heatStops(warm: Scenario, at: EpochSeconds): Scenario {
  return { ...warm, plan: stoppedAt(warm.plan, at) };
}

/** Power at the post fails at `at`: electric heat is gone, the furnace lives on gas and its battery. */
export function powerFails({ plan, ...warm }: Scenario, at: EpochSeconds): Scenario {
  const before = plan.switches.filter((s) => s.at < at);
  const after = { ...(before.at(-1) ?? HEAT_OFF), at, shore: false };
  return { ...warm, plan: { suppliedFrom: plan.suppliedFrom, switches: [...before, after] } };
}

function stoppedAt(plan: HeatPlan, at: EpochSeconds): HeatPlan {
  return { ...plan, switches: [...plan.switches.filter((s) => s.at < at), { at, ...ALL_OFF }] };
}

/** Heat on and the measures done at the end of their work. */
export function keepWarm(request: OptionRequest, { unit: keptWarm, measures }: Warming): Option {
  const { unit, water, now, until, frozen, endOf } = request;
  const end = endOf('keep-warm');
  const circuits = emptiedAtDusk(water, { since: end, by: null }, { ...keptWarm, frozen, measures });
  const before = asItStands(unit, water, now).plan.switches.filter((s) => s.at < end);
  const plan = { switches: [...before, { at: end, ...ALL_ON }], suppliedFrom: gaugedAt(unit, now) };
  const change = changeOf(request, end, { ...water, circuits });
  const scenario = { unit: keptWarm, plan, change, until };
  return { action: 'keep-warm', method: null, scenario, circuits: null, measures };
}

/** The hose is off before the rest is done. */
function changeOf({ stowedAt }: OptionRequest, at: EpochSeconds, water: UnitWater): Scenario['change'] {
  return { at, water, first: { circuit: STOWED_CIRCUIT, at: stowedAt } };
}

/** Where nobody stays, heat is off once the work is done. */
function leftAt(request: OptionRequest, end: EpochSeconds, water: UnitWater): Scenario {
  const { unit, attended, now, until } = request;
  const stands = asItStands(unit, request.water, now);
  const plan = attended ? stands.plan : stoppedAt(stands.plan, end);
  return { unit: null, plan, change: changeOf(request, end, water), until };
}

/** Draining leaves traps as they are, and what was blown out, holds antifreeze or is frozen. Null: nothing to drain. */
function drain(request: OptionRequest): Option | null {
  const { unit, water, frozen } = request;
  const all = circuitsOf(unit).filter((circuit) => !isTrap(circuit) && !isEmptyTank(water, circuit));
  const isKept = (circuit: string): boolean => {
    const { kind } = circuitState(water, circuit).state;
    return kind === 'blown' || kind === 'antifreeze' || frozen.has(circuit);
  };
  const toDrain = all.filter((circuit) => !isKept(circuit));
  const held = unit.parts.some(
    (p) => toDrain.includes(p.circuit) && holdsWater(p, circuitState(water, p.circuit).state),
  );
  if (!held) return null;
  const end = request.endOf('drain');
  const after = changed(request, { circuits: toDrain, at: end, to: () => DRAINED_WELL });
  return {
    action: 'drain',
    method: null,
    scenario: leftAt(request, end, after),
    circuits: toDrain.length < all.length ? toDrain : null,
    ...closedOf(frozen),
    measures: null,
  };
}

/**
 * What lies outside, in bays and in flush lines is emptied and left open; what is inside stays in use, and the heat as it
 * is. Null: there is nothing of it to empty, or nothing inside that is in use.
 */
function drainPart(request: OptionRequest, { circuits: left }: Option): Option | null {
  const { unit, water, now, until } = request;
  const drainable = (left ?? circuitsOf(unit)).filter((circuit) => !isTrap(circuit) && !isTank(circuit));
  const isHeld = (circuit: string): boolean =>
    unit.parts.some((p) => p.circuit === circuit && holdsWater(p, circuitState(water, circuit).state));
  const held = drainable.filter(isHeld);
  const outside = outsideCircuits(unit);
  const circuits = held.filter((circuit) => outside.includes(circuit));
  const isLive = held.some((c) => !outside.includes(c) && isWet(circuitState(water, c).state));
  if (circuits.length === 0 || !isLive) return null;
  const at = request.endOf('drain-part');
  const after = changed(request, { circuits, at, to: () => DRAINED_WELL });
  // Nothing else changes: what holds for all circuits goes on holding.
  const change = changeOf(request, at, { ...water, circuits: after.circuits });
  const { plan } = asItStands(unit, water, now);
  const scenario = { unit: null, plan, change, until };
  const closed = closedOf(request.frozen);
  return { action: 'drain-part', method: null, scenario, circuits, ...closed, measures: null };
}

function closedOf(frozen: OptionRequest['frozen']): Pick<Option, 'closed'> {
  return frozen.size === 0 ? {} : { closed: [...frozen] };
}

const DRAINED_WELL = { kind: 'drained', quality: 'well' } as const;

function isEmptyTank(water: UnitWater, circuit: string): boolean {
  const { state } = circuitState(water, circuit);
  return isTank(circuit) && state.kind === 'drained' && state.quality === 'well';
}

/**
 * What has been blown out or holds enough antifreeze need not be done again, nor an empty tank. Null: ice closes all
 * there is to do.
 */
function winterize(request: OptionRequest, method: Method): Option | null {
  const { unit, water, frozen } = request;
  const stateOf = (circuit: string): WaterState => circuitState(water, circuit).state;
  const all = circuitsOf(unit).filter(
    (circuit) => circuit !== STOWED_CIRCUIT && !isEmptyTank(water, circuit),
  );
  const open = all.filter((circuit) => !frozen.has(circuit));
  const left = open.filter(
    (circuit) => !isEnough(circuit, stateOf(circuit), neededC(request, circuit, method)),
  );
  const chosen = left.length === 0 ? open : left;
  if (chosen.length === 0) return null;
  const end = request.endOf('winterize', method);
  const done = changed(request, { circuits: chosen, at: end, to: (circuit) => treated(circuit, method) });
  const stowed = { state: DRAINED_WELL, since: end, by: null };
  const after = { ...done, circuits: { ...done.circuits, [STOWED_CIRCUIT]: stowed } };
  return {
    action: 'winterize',
    method,
    scenario: leftAt(request, end, after),
    circuits: chosen.length < all.length ? chosen : null,
    ...closedOf(frozen),
    measures: null,
  };
}

/** Ready-to-use fluid, as strong as it ends up where it is poured in. */
const POURED: WaterState & Filling = { kind: 'antifreeze' };

/** Whichever way, tanks are drained and antifreeze goes into the traps. */
function treated(circuit: string, method: Method): WaterState {
  if (isTank(circuit)) return DRAINED_WELL;
  return method === 'air' && !isTrap(circuit) ? { kind: 'blown' } : POURED;
}

/**
 * How cold antifreeze must bear not to be done again [°C]: as cold as the fluid that would take its place does. Colder
 * air is no reason to pour in the same once more, but one to blow it out; out of a trap nothing is blown.
 */
function neededC({ coldestC }: OptionRequest, circuit: string, method: Method): number {
  const pouredC = bearsC(circuit, POURED);
  return method === 'air' && !isTrap(circuit) ? Math.min(pouredC, coldestC) : pouredC;
}

/** Blown out, or with a fluid that bursts nothing down to what is needed. */
function isEnough(circuit: string, state: WaterState, needC: number): boolean {
  if (state.kind === 'antifreeze') return bearsC(circuit, state) <= needC;
  return state.kind === 'blown';
}

interface Work {
  readonly circuits: readonly string[];
  readonly to: (circuit: string) => WaterState;
  /** When it is done. */
  readonly at: EpochSeconds;
}

/** The water once some circuits have come to a new state; the rest stays as it is. */
function changed({ unit, water }: OptionRequest, { circuits, to, at }: Work): UnitWater {
  const after = Object.fromEntries(
    circuitsOf(unit).map((circuit) => [
      circuit,
      circuits.includes(circuit) ? { state: to(circuit), since: at, by: null } : circuitState(water, circuit),
    ]),
  );
  return { all: { state: to(''), since: at, by: null }, circuits: after };
}

function circuitsOf({ parts }: UnitModel): readonly string[] {
  return [...new Set(parts.map((p) => p.circuit))];
}
