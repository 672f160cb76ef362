/** What a person says of a unit, and whether it fits together. */
import type { Config } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { STRONGEST_PERCENT, WEAKEST_PERCENT, type Fluid } from '../model/antifreeze.ts';
import type { WaterState } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

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
  /** By volume, as measured at the last tap. */
  readonly concentrationPercent: number | null;
  /** Absent: propylene glycol. */
  readonly fluid?: Fluid;
  /** With air: antifreeze was poured into every trap, too. Absent: it was not. */
  readonly traps?: boolean;
  /** When it was done. */
  readonly at: EpochSeconds;
  readonly now: EpochSeconds;
  readonly by: string | null;
}

/** @throws UsageError */
export function checkRequest(request: MarkRequest): void {
  if (request.at > request.now)
    throw new UsageError('The time of a mark lies in the future. Say when it was done, not when it will be.');
  checkOptions(request);
  checkPerson(request);
}

function checkOptions(request: MarkRequest): void {
  const { state, method, quality, concentrationPercent, fluid, circuits } = request;
  if (method !== null && state !== 'winterized') throw new UsageError('--method goes with winterized only.');
  if (quality !== null && state !== 'drained') throw new UsageError('--quality goes with drained only.');
  if (concentrationPercent !== null && (state !== 'winterized' || method !== 'antifreeze')) {
    throw new UsageError('--concentration goes with winterized --method antifreeze only.');
  }
  if (fluid !== undefined && (state !== 'winterized' || method !== 'antifreeze')) {
    throw new UsageError('--fluid goes with winterized --method antifreeze only.');
  }
  if (request.traps === true && (state !== 'winterized' || method !== 'air' || circuits.length > 0)) {
    throw new UsageError('--traps goes with winterized --method air of the whole unit only.');
  }
  checkConcentration(concentrationPercent);
  if (circuits.length > 0 && (state === 'checked' || state === 'kept-warm')) {
    throw new UsageError(`--circuit does not go with ${state}: that is said of the whole unit.`);
  }
}

function checkConcentration(percent: number | null): void {
  if (percent === null || (percent >= WEAKEST_PERCENT && percent <= STRONGEST_PERCENT)) return;
  throw new UsageError(
    `${percent} % is no concentration of antifreeze in lines. Give the per cent by volume that was measured, ${WEAKEST_PERCENT} to ${STRONGEST_PERCENT}.`,
  );
}

function checkPerson({ config, by }: MarkRequest): void {
  if (by === null || config.people.some((p) => p.id === by)) return;
  const known = config.people.map((p) => p.id).join(', ');
  throw new UsageError(`--by names nobody in ${config.file}. Its people are: ${known || 'none'}.`);
}

/** What it makes of a circuit. */
export function stateOf({ state, method, quality, concentrationPercent, fluid }: MarkRequest): WaterState {
  switch (state) {
    case 'drained':
      return { kind: 'drained', quality: quality ?? 'quick' };
    case 'winterized':
      return method === 'antifreeze'
        ? {
            kind: 'antifreeze',
            ...(concentrationPercent === null ? {} : { concentrationPercent }),
            ...(fluid === undefined ? {} : { fluid }),
          }
        : { kind: 'blown' };
    case 'in-use':
    case 'kept-warm':
    case 'checked':
      return { kind: 'wet' };
  }
}
