/** What a person's word makes of the water in a unit. */
import type { UnitConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { waterStateWords } from '../message/words.ts';
import { emptiedAtDusk, holdsWater } from '../model/damage.ts';
import { isTank, isTrap } from '../model/circuit-names.ts';
import { joined } from '../model/measure.ts';
import {
  circuitState,
  isWet,
  type CircuitState,
  type UnitWater,
  type WaterState,
} from '../model/water-state.ts';
import { DAY_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';
import { heldWater } from './held-water.ts';
import { canHold, circuitsIn, stateOf, type MarkRequest } from './mark-request.ts';

/** Marks go in order of time: one that is older than what holds would be forgotten at once, or undo it. @throws UsageError */
export function markedWater(request: MarkRequest, unit: UnitConfig, current: UnitRecord | null): UnitWater {
  const { at, now } = request;
  const { water, waterAt, saidBy } = heldWater(unit, current, now);
  if (waterAt === null || waterAt <= at || waterAt > now) {
    refuseDry(request, unit, water);
    return withPast(marked(request, asAsked(unit, current, water), water), water, at);
  }
  const who = saidBy === 'config' ? `By ${request.config.file}` : 'By its last mark';
  throw new UsageError(
    `${who} unit ${unit.id} is ${waterStateWords(water.all.state)} as of ${isoSecond(waterAt)}, and the newest statement holds: one for ${isoSecond(at)} would change nothing. Give a later --at, or leave it out for now.`,
  );
}

/** Heat keeps water from freezing; where there is none, something else was meant. */
function refuseDry({ state }: MarkRequest, { id, model }: UnitConfig, water: UnitWater): void {
  if (state !== 'kept-warm') return;
  if (model.parts.some((part) => holdsWater(part, circuitState(water, part.circuit).state))) return;
  throw new UsageError(
    `Unit ${id} is ${waterStateWords(water.all.state)}, and no circuit of it holds water: there is nothing to keep warm. If it was filled again, say in-use first.`,
  );
}

/** How long cold can have come before a mark and still matter: as far back as rounds look, and a day. */
const REMEMBERED_S = 4 * DAY_S;

/** What it was before is kept: cold that came then came to that water, whatever was done since. */
function withPast(after: UnitWater, { before = [], ...held }: UnitWater, at: EpochSeconds): UnitWater {
  const recent = before.filter((b) => at - b.until < REMEMBERED_S);
  return { ...after, before: [...recent, { until: at, water: held }] };
}

interface AsAsked extends UnitConfig {
  /** What was asked to keep it warm and is taken as done; undefined: the whole list for dusk. */
  readonly measures: UnitWater['keptWarmBy'];
}

/** With what was asked to keep it warm and what was done before. */
function asAsked(unit: UnitConfig, current: UnitRecord | null, before: UnitWater): AsAsked {
  const asked = current?.memory.advice?.measures;
  const isWhole = before.keptWarm === true && before.keptWarmBy === undefined;
  const measures = asked === undefined || isWhole ? undefined : joined(before.keptWarmBy ?? [], asked);
  return { ...unit, measures };
}

function marked(request: MarkRequest, unit: AsAsked, before: UnitWater): UnitWater {
  const { state, at, by, circuits } = request;
  const { measures } = unit;
  const as = (to: WaterState): CircuitState => ({ state: to, since: at, by });
  if (state === 'kept-warm') {
    return {
      ...before,
      circuits: emptiedAtDusk(
        before,
        { since: at, by },
        { ...unit.model, ...(measures === undefined ? {} : { measures }) },
      ),
      keptWarm: true,
      ...(measures === undefined ? {} : { keptWarmBy: measures }),
      keptWarmSince: before.keptWarm === true ? (before.keptWarmSince ?? at) : at,
    };
  }
  const now = as(stateOf(request));
  if (circuits.length > 0)
    return {
      ...before,
      circuits: { ...before.circuits, ...Object.fromEntries(circuits.map((c) => [c, now])) },
    };
  if (request.withoutColour !== undefined && request.withoutColour.length > 0)
    return filledInPart(request, unit, { before, now });
  return wholeUnit(request, unit, { before, now });
}

interface Change {
  readonly before: UnitWater;
  readonly now: CircuitState;
}

/** Draining and air leave the traps as they were, unless antifreeze was poured into them. */
function wholeUnit(
  { state, method, traps: filled }: MarkRequest,
  unit: UnitConfig,
  { before, now }: Change,
): UnitWater {
  const keepsTraps = state === 'drained' || (state === 'winterized' && method !== 'antifreeze');
  if (!keepsTraps) return { all: now, circuits: {} };
  const traps = circuitsIn(unit).filter(isTrap);
  const after = (trap: string): CircuitState =>
    filled === true ? { ...now, state: { kind: 'antifreeze' } } : circuitState(before, trap);
  return { all: now, circuits: Object.fromEntries(traps.map((trap) => [trap, after(trap)])) };
}

/** What every tap inside hangs on: without colour there, a unit is not winterized. */
const MAIN_LINES: readonly string[] = ['cold', 'hot'];

export function isMainLine(circuit: string): boolean {
  return MAIN_LINES.includes(circuit);
}

/**
 * Where no colour showed, it stays as it was if it held water; what was drained, blown or filled before, or was only said
 * to be, may hold anything since the pump ran, and is unknown. A line inside without colour leaves the whole unit not
 * winterized; what was filled is so all the same, and tanks are drained, not filled. Fluid that did not come out of the
 * hot taps may have gone into the water heater.
 */
function filledInPart(
  { withoutColour = [] }: MarkRequest,
  unit: UnitConfig,
  { before, now }: Change,
): UnitWater {
  const unknown: CircuitState = { ...now, state: { kind: 'unknown' } };
  const isPumped = (circuit: string): boolean => !isTank(circuit) && canHold(unit, circuit, 'antifreeze');
  const mixed = withoutColour.includes('hot') ? ['heater'] : [];
  const left = [...withoutColour, ...mixed].map((circuit): [string, CircuitState] => {
    const was = circuitState(before, circuit);
    return [circuit, isWet(was.state) || !isPumped(circuit) ? was : unknown];
  });
  if (!withoutColour.some(isMainLine)) return { all: now, circuits: Object.fromEntries(left) };
  const rest = circuitsIn(unit).map((circuit): [string, CircuitState] => [
    circuit,
    isPumped(circuit) ? now : circuitState(before, circuit),
  ]);
  return {
    all: isWet(before.all.state) ? before.all : unknown,
    circuits: { ...before.circuits, ...Object.fromEntries([...rest, ...left]) },
  };
}
