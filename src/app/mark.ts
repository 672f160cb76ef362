/** What a person says they did to a unit, or saw. */
import type { Config, UnitConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { READY_TO_USE_PERCENT } from '../model/antifreeze.ts';
import { emptiedAtDusk } from '../model/damage.ts';
import {
  circuitState,
  isTrap,
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

export const MARK_STATES = ['in-use', 'drained', 'winterized', 'kept-warm', 'checked'] as const;
export type MarkState = (typeof MARK_STATES)[number];

export interface MarkRequest {
  readonly config: Config;
  readonly unit: string;
  readonly state: MarkState;
  /** Empty: the whole unit. */
  readonly circuits: readonly string[];
  readonly method: 'antifreeze' | 'air' | null;
  readonly quality: 'well' | 'quick' | null;
  readonly concentrationPercent: number | null;
  /** When it was done. */
  readonly at: EpochSeconds;
  readonly now: EpochSeconds;
  readonly by: string | null;
}

/** @throws UsageError for what does not fit together, or would change nothing; StoreError. */
export async function mark(request: MarkRequest): Promise<void> {
  const { config, at, now } = request;
  const unit = findUnit(config, request.unit);
  if (at > now)
    throw new UsageError('The time of a mark lies in the future. Say when it was done, not when it will be.');
  checkOptions(request);
  checkPerson(request);
  const known = new Set(unit.model.parts.map((p) => p.circuit));
  for (const circuit of request.circuits) {
    if (!known.has(circuit))
      throw new UsageError(
        `Unit ${unit.id} has no circuit "${circuit}". Its circuits are: ${[...known].join(', ')}.`,
      );
  }
  const store = await openStore(config.store.path);
  try {
    const checked = request.state === 'checked';
    const water = (current: UnitRecord | null): UnitWater | null => {
      refuseDamaged(request, current);
      return checked ? checkedWater(request, current) : markedWater(request, unit, current);
    };
    await store.mark({ unit: unit.id, water, checked, at, by: request.by });
  } finally {
    await store.close();
  }
}

function checkOptions({ state, method, quality, concentrationPercent, circuits }: MarkRequest): void {
  if (method !== null && state !== 'winterized') throw new UsageError('--method goes with winterized only.');
  if (quality !== null && state !== 'drained') throw new UsageError('--quality goes with drained only.');
  if (concentrationPercent !== null && (state !== 'winterized' || method !== 'antifreeze')) {
    throw new UsageError('--concentration goes with winterized --method antifreeze only.');
  }
  if (circuits.length > 0 && (state === 'checked' || state === 'kept-warm')) {
    throw new UsageError(`--circuit does not go with ${state}: that is said of the whole unit.`);
  }
}

function checkPerson({ config, by }: MarkRequest): void {
  if (by === null || config.people.some((p) => p.id === by)) return;
  const known = config.people.map((p) => p.id).join(', ');
  throw new UsageError(`--by names nobody in ${config.file}. Its people are: ${known || 'none'}.`);
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
  if (waterAt === null || waterAt <= at || waterAt > now) return withPast(marked(request, water), water, at);
  const who = saidBy === 'config' ? `By ${request.config.file}` : 'By its last mark';
  throw new UsageError(
    `${who} unit ${unit.id} is ${waterStateWords(water.all.state)} as of ${isoSecond(waterAt)}, and the newest statement holds: one for ${isoSecond(at)} would change nothing. Give a later --at, or leave it out for now.`,
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
      circuits: emptiedAtDusk(before, { since: request.at, by: request.by }),
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

/** Draining leaves the traps as they were, and so does air of which nobody said that the traps were done. */
function wholeUnit(
  { state, method, config, unit }: MarkRequest,
  before: UnitWater,
  now: CircuitState,
): UnitWater {
  const keepsTraps = state === 'drained' || (state === 'winterized' && method === null);
  const traps = keepsTraps
    ? findUnit(config, unit)
        .model.parts.map((p) => p.circuit)
        .filter(isTrap)
    : [];
  return { all: now, circuits: Object.fromEntries(traps.map((c) => [c, circuitState(before, c)])) };
}

function stateOf({ state, method, quality, concentrationPercent }: MarkRequest): WaterState {
  switch (state) {
    case 'drained':
      return { kind: 'drained', quality: quality ?? 'quick' };
    case 'winterized':
      return method === 'antifreeze'
        ? { kind: 'antifreeze', concentrationPercent: concentrationPercent ?? READY_TO_USE_PERCENT }
        : { kind: 'blown' };
    case 'in-use':
    case 'kept-warm':
    case 'checked':
      return { kind: 'wet' };
  }
}
