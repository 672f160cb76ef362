/** What a person says of a unit, and whether it fits together. */
import type { Config, UnitConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import { STRONGEST_PERCENT, WEAKEST_PERCENT, type Fluid } from '../model/antifreeze.ts';
import { whyNot, type WaterKind, type WaterState } from '../model/water-state.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';

/** What a unit is, then what somebody means to do about it. */
export const MARK_STATES = [
  'in-use',
  'drained',
  'winterized',
  'kept-warm',
  'checked',
  'on-my-way',
  'not-mine',
  'stop',
] as const;
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
  /** With antifreeze: circuits at whose taps no colour showed. Absent: it showed everywhere. */
  readonly withoutColour?: readonly string[];
  /** How much antifreeze went in. Absent: not said. */
  readonly usedLitres?: number;
  /** With `stop` and `on-my-way`. */
  readonly until?: EpochSeconds;
  /** Seen with one's own eyes, or said. Absent: said. */
  readonly basis?: 'seen' | 'said';
  /** Absent: said by the command. */
  readonly link?: LinkUse;
  /** When it was done. */
  readonly at: EpochSeconds;
  readonly now: EpochSeconds;
  readonly by: string | null;
}

/** One press of the button behind a link. */
export interface LinkUse {
  /** Tells this press from any other. */
  readonly press: string;
  /** Under which the message was sent that held the link. */
  readonly episode: string;
  /** When it was sent. */
  readonly issued: EpochSeconds;
  /** The unit's last answer when the page was shown, 0: there was none; null: no page was shown. */
  readonly shown: number | null;
}

/** What became of it. */
export interface Given {
  /** `before`: the same was said already; `old`: the link is of another episode; `moved`: something else was said since. */
  readonly outcome: 'kept' | 'before' | 'old' | 'moved';
  /** The unit may have frozen, and nobody has checked it. */
  readonly suspect: boolean;
  /** Nobody is left who is told of it. */
  readonly nobody: boolean;
}

/** What somebody means to do, or wants: the water stays as it is. */
const INTENTS: readonly MarkState[] = ['on-my-way', 'not-mine', 'stop'];

export function isIntent(state: MarkState): boolean {
  return INTENTS.includes(state);
}

/** @throws UsageError */
export function checkRequest(request: MarkRequest): void {
  if (request.at > request.now)
    throw new UsageError('The time of a mark lies in the future. Say when it was done, not when it will be.');
  checkOptions(request);
  checkPerson(request);
  checkUntil(request);
}

function checkOptions(request: MarkRequest): void {
  const { state, method, quality, concentrationPercent, fluid, circuits, withoutColour, usedLitres } =
    request;
  const isFilled = state === 'winterized' && method === 'antifreeze';
  if (method !== null && state !== 'winterized') throw new UsageError('--method goes with winterized only.');
  if (quality !== null && state !== 'drained') throw new UsageError('--quality goes with drained only.');
  const filling = {
    '--concentration': concentrationPercent !== null,
    '--fluid': fluid !== undefined,
    '--without-colour': withoutColour !== undefined && withoutColour.length > 0,
    '--used': usedLitres !== undefined,
  };
  for (const [option, given] of Object.entries(filling)) {
    if (given && !isFilled) throw new UsageError(`${option} goes with winterized --method antifreeze only.`);
  }
  if (filling['--without-colour'] && circuits.length > 0) {
    throw new UsageError('--without-colour is said of the whole unit: leave out --circuit.');
  }
  if (request.traps === true && (state !== 'winterized' || method !== 'air' || circuits.length > 0)) {
    throw new UsageError('--traps goes with winterized --method air of the whole unit only.');
  }
  checkConcentration(concentrationPercent);
  if (circuits.length > 0 && (isIntent(state) || state === 'checked' || state === 'kept-warm')) {
    throw new UsageError(`--circuit does not go with ${state}: that is said of the whole unit.`);
  }
}

function checkConcentration(percent: number | null): void {
  if (percent === null || (percent >= WEAKEST_PERCENT && percent <= STRONGEST_PERCENT)) return;
  throw new UsageError(
    `${percent} % is no concentration of antifreeze in lines. Give the per cent by volume that was measured, ${WEAKEST_PERCENT} to ${STRONGEST_PERCENT}.`,
  );
}

function checkPerson({ config, by, state, unit }: MarkRequest): void {
  if (by === null && isIntent(state)) throw new UsageError(`Whose word is "${state}"? Add --by PERSON.`);
  if (by === null) return;
  if (!config.people.some((p) => p.id === by)) {
    const known = config.people.map((p) => p.id).join(', ');
    throw new UsageError(`--by names nobody in ${config.file}. Its people are: ${known || 'none'}.`);
  }
  const contacts = config.units.find((u) => u.id === unit)?.contacts ?? [];
  if ((state !== 'not-mine' && state !== 'stop') || contacts.includes(by)) return;
  throw new UsageError(
    `${by} is no contact of unit ${unit}, so there is nothing to stop. Its contacts are: ${contacts.join(', ') || 'none'}.`,
  );
}

/** A season and a summer; who wants silence for longer takes themselves out of the config. */
const LONGEST_SILENCE_S = 366 * DAY_S;

/** Nobody is on the way for longer. */
const LONGEST_WAY_S = 2 * DAY_S;

function checkUntil({ state, until, at, now }: MarkRequest): void {
  if (until === undefined) {
    if (state === 'stop') throw new UsageError('Until when? Add --until, a date or an instant.');
    return;
  }
  if (state !== 'stop' && state !== 'on-my-way') {
    throw new UsageError('--until goes with stop and on-my-way only.');
  }
  if (until <= now) throw new UsageError('--until lies in the past. Give a date or an instant to come.');
  const longest = state === 'stop' ? LONGEST_SILENCE_S : LONGEST_WAY_S;
  if (until - at <= longest) return;
  throw new UsageError(`--until lies too far ahead: ${longest / DAY_S} days are the most for ${state}.`);
}

/** What it makes of a circuit. */
export function stateOf({
  state,
  method,
  quality,
  concentrationPercent,
  fluid,
}: Pick<MarkRequest, 'state' | 'method' | 'quality' | 'concentrationPercent' | 'fluid'>): WaterState {
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
    case 'on-my-way':
    case 'not-mine':
    case 'stop':
      return { kind: 'wet' };
  }
}

/** Circuits of the unit, in the order of its parts. */
export function circuitsIn({ model }: Pick<UnitConfig, 'model'>): readonly string[] {
  return [...new Set(model.parts.map((p) => p.circuit))];
}

/** Why a circuit of the unit cannot be so; null: it can. */
export function whyCannotHold(
  { model }: Pick<UnitConfig, 'model'>,
  circuit: string,
  kind: WaterKind,
): string | null {
  const parts = model.parts.filter((p) => p.circuit === circuit).map((p) => p.id);
  return whyNot(kind, { circuit, parts });
}

export function canHold(unit: Pick<UnitConfig, 'model'>, circuit: string, kind: WaterKind): boolean {
  return whyCannotHold(unit, circuit, kind) === null;
}
