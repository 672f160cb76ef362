/** What a person says they did to a unit, or saw. */
import type { UnitConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { emptiedAtDusk, holdsWater } from '../model/damage.ts';
import { isTrap } from '../model/circuit-names.ts';
import {
  circuitState,
  whyNot,
  type CircuitState,
  type UnitWater,
  type WaterState,
} from '../model/water-state.ts';
import { DAY_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { openStore } from '../store/open.ts';
import { waterStateWords } from '../message/words.ts';
import type { UnitRecord } from '../store/store.ts';
import { findUnit } from './check.ts';
import { damagedUnit } from './damaged-unit.ts';
import { heldWater } from './held-water.ts';
import { remarks } from './mark-remarks.ts';
import { checkRequest, stateOf, type MarkRequest } from './mark-request.ts';

/**
 * Returns what the person should know of what was said, in full sentences.
 *
 * @throws UsageError for what does not fit together, cannot be, or would change nothing; StoreError.
 */
export async function mark(request: MarkRequest): Promise<readonly string[]> {
  const { config, at } = request;
  const unit = findUnit(config, request.unit);
  checkRequest(request);
  checkCircuits(request, unit);
  const store = await openStore(config.store.path);
  let suspect = false;
  try {
    const checked = request.state === 'checked';
    const water = (current: UnitRecord | null): UnitWater | null => {
      refuseDamaged(request, current);
      suspect = (current?.memory.suspectSince ?? null) !== null;
      return checked ? checkedWater(request, current) : markedWater(request, unit, current);
    };
    await store.mark({ unit: unit.id, water, checked, at, by: request.by });
  } finally {
    await store.close();
  }
  return remarks(request, suspect);
}

/** Circuits must be there, and what is said of one alone must be possible. */
function checkCircuits(request: MarkRequest, unit: UnitConfig): void {
  const { parts } = unit.model;
  const known = new Set(parts.map((p) => p.circuit));
  for (const circuit of request.circuits) {
    if (!known.has(circuit))
      throw new UsageError(
        `Unit ${unit.id} has no circuit "${circuit}". Its circuits are: ${[...known].join(', ')}.`,
      );
    const ids = parts.filter((p) => p.circuit === circuit).map((p) => p.id);
    const why = whyNot(stateOf(request).kind, { circuit, parts: ids });
    if (why !== null) throw new UsageError(`Circuit ${circuit} of unit ${unit.id} cannot be so. ${why}`);
  }
}

/** A damaged record can be replaced by what is said of the whole unit, and by nothing less. */
function refuseDamaged({ unit, state, circuits }: MarkRequest, current: UnitRecord | null): void {
  const whole = circuits.length === 0 && state !== 'kept-warm' && state !== 'checked';
  if (current?.damaged === true && !whole) throw damagedUnit(unit);
}

/** A check changes no water; one that is older than the last would take that one back. */
function checkedWater({ unit, at, now }: MarkRequest, current: UnitRecord | null): null {
  const last = current?.checkedAt ?? null;
  if (last === null || last <= at || last > now) return null;
  throw new UsageError(
    `Unit ${unit} was checked at ${isoSecond(last)} already. A check before that changes nothing; leave out --at for one made now.`,
  );
}

/** Marks go in order of time: one that is older than what holds would be forgotten at once, or undo it. */
function markedWater(request: MarkRequest, unit: UnitConfig, current: UnitRecord | null): UnitWater {
  const { at, now } = request;
  const { water, waterAt, saidBy } = heldWater(unit, current, now);
  if (waterAt === null || waterAt <= at || waterAt > now) {
    refuseDry(request, unit, water);
    return withPast(marked(request, water), water, at);
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

function marked(request: MarkRequest, before: UnitWater): UnitWater {
  const as = (state: WaterState): CircuitState => ({ state, since: request.at, by: request.by });
  if (request.state === 'kept-warm') {
    return {
      ...before,
      circuits: emptiedAtDusk(
        before,
        { since: request.at, by: request.by },
        findUnit(request.config, request.unit).model,
      ),
      keptWarm: true,
      keptWarmSince: before.keptWarm === true ? (before.keptWarmSince ?? request.at) : request.at,
    };
  }
  const now = as(stateOf(request));
  if (request.circuits.length === 0) return wholeUnit(request, before, now);
  return {
    ...before,
    circuits: { ...before.circuits, ...Object.fromEntries(request.circuits.map((c) => [c, now])) },
  };
}

/** Draining and air leave the traps as they were, unless antifreeze was poured into them. */
function wholeUnit(
  { state, method, traps: filled, config, unit }: MarkRequest,
  before: UnitWater,
  now: CircuitState,
): UnitWater {
  const keepsTraps = state === 'drained' || (state === 'winterized' && method !== 'antifreeze');
  if (!keepsTraps) return { all: now, circuits: {} };
  const traps = findUnit(config, unit)
    .model.parts.map((p) => p.circuit)
    .filter(isTrap);
  const after = (trap: string): CircuitState =>
    filled === true ? { ...now, state: { kind: 'antifreeze' } } : circuitState(before, trap);
  return { all: now, circuits: Object.fromEntries(traps.map((trap) => [trap, after(trap)])) };
}
