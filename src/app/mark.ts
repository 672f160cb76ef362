/** What a person says they did to a unit, or saw. */
import type { Config } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { READY_TO_USE_PERCENT, emptiedAtDusk } from '../model/damage.ts';
import {
  circuitState,
  isTrap,
  type CircuitState,
  type UnitWater,
  type WaterState,
} from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openStore } from '../store/open.ts';
import { findUnit } from './check.ts';

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

/** @throws UsageError for what does not fit together; StoreError. */
export async function mark(request: MarkRequest): Promise<void> {
  const { config, at, now } = request;
  const unit = findUnit(config, request.unit);
  if (at > now)
    throw new UsageError('The time of a mark lies in the future. Say when it was done, not when it will be.');
  checkOptions(request);
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
    const water = checked
      ? null
      : (current: { water: UnitWater | null } | null) => marked(request, current?.water ?? unit.water);
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

function marked(request: MarkRequest, before: UnitWater): UnitWater {
  const as = (state: WaterState): CircuitState => ({ state, since: request.at, by: request.by });
  if (request.state === 'kept-warm') {
    return {
      ...before,
      circuits: emptiedAtDusk(before, { since: request.at, by: request.by }),
      keptWarm: true,
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
