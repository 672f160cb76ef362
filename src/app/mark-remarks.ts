/** What a person should know of what they have just said, in full sentences. */
import { READY_TO_USE_PERCENT, fluidCautions } from '../model/antifreeze.ts';
import { isTrap } from '../model/circuit-names.ts';
import { LEFT_LITRES, bearsC, percentIn } from '../model/filling.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import { circuitsWords } from '../message/circuits.ts';
import type { Given, MarkRequest } from './mark-request.ts';
import { isMainLine } from './marked-water.ts';

export function remarks(request: MarkRequest, given: Given): readonly string[] {
  const { suspect } = given;
  return [
    ...(suspect && isEmptied(request)
      ? [`${MET_ICE}, and say "drainby mark -c FILE ${request.unit} checked".`]
      : []),
    ...methodRemarks(request),
    ...heatRemarks(request),
    ...colourRemarks(request),
    ...fluidRemarks(request),
    ...intentRemarks(request, given),
  ];
}

/** The same for whoever pressed the button of a link, who knows no options. */
export function linkRemarks(request: MarkRequest, given: Given): readonly string[] {
  const { method, fluid } = request;
  return [
    ...(given.suspect && isEmptied(request) ? [`${MET_ICE}, and say that it was checked.`] : []),
    ...(request.state === 'winterized' && method === null ? [ASKED_HOW] : []),
    ...(request.state === 'winterized' && method === 'air' && request.traps !== true ? [TRAPS_FULL] : []),
    ...heatRemarks(request),
    ...colourRemarks(request),
    ...measuredRemarks(request),
    ...(method === 'antifreeze' ? fluidCautions(fluid ?? 'glycol') : []),
    ...intentRemarks(request, given),
  ];
}

const NO_HEAT =
  'The config knows no heat for this unit, so none is counted: what stands in its lines is taken to get as cold as without. State under heat what warms it, or drain it.';

function heatRemarks({ config, unit, state }: MarkRequest): readonly string[] {
  if (state !== 'kept-warm') return [];
  const model = config.units.find(({ id }) => id === unit)?.model;
  return model === undefined || model.heat !== null ? [] : [NO_HEAT];
}

/** What was poured, blown or let out may have met ice. */
function isEmptied({ state }: MarkRequest): boolean {
  return state === 'drained' || state === 'winterized';
}

const MET_ICE =
  'It may have frozen, and ice may still close the way, so that water stays behind it. When it has thawed, look for splits, do it once more';

const ASKED_HOW =
  'How was it winterized? Until somebody says so it is taken as blown out with air, traps not done: the traps are taken as they were.';

const TRAPS_FULL =
  'Air does not empty a trap: the traps are taken as they were. Pour antifreeze into every trap and the toilets, run some through the pump, and say so.';

/** More than this without colour at the hot tap has gone somewhere else; common practice, no source. */
const LOST_LITRES = 3.785;

function colourRemarks({ withoutColour = [], usedLitres = 0 }: MarkRequest): readonly string[] {
  if (withoutColour.length === 0) return [];
  const where = circuitsWords(withoutColour);
  if (!withoutColour.some(isMainLine))
    return [`No colour was seen at ${where}: that is taken as full of water, and is still to be done.`];
  const kept = `No colour was seen at ${where}: the unit is not winterized, and that is taken as full of water.`;
  if (!withoutColour.includes('hot') || usedLitres <= LOST_LITRES)
    return [kept, 'Go on until strong colour shows at every tap, hot and cold, and say it again.'];
  return [
    kept,
    'So much antifreeze and no colour at the hot tap: the bypass of the water heater stands half way, and the heater is filling. Stop pumping, set every valve of the bypass as the manual of the unit shows it, and begin again.',
  ];
}

function intentRemarks({ state, unit }: MarkRequest, { nobody }: Given): readonly string[] {
  if (state === 'stop') return ['What asks for work is not sent to this person before then.'];
  if (state !== 'not-mine') return [];
  const told = 'This person is told nothing more of the unit until they say something else of it.';
  return [told, ...(nobody ? [nobodyWords(unit)] : [])];
}

export function nobodyWords(unit: string): string {
  return `Nobody is told of unit ${unit} any more: all its contacts said that it is not theirs. Name somebody under its contacts in the config.`;
}

function quicklyRemark(circuits: readonly string[]): string {
  const left =
    circuits.length === 0 ? 'full (pump, strainer, filter bowl, flush line, city inlet)' : 'full in it';
  return `No quality was given: taken as drained quickly, so that what gravity leaves ${left} still holds water. Add --quality well if that was emptied too.`;
}

function methodRemarks(request: MarkRequest): readonly string[] {
  const { state, method, quality, circuits } = request;
  if (state === 'drained' && quality === null) return [quicklyRemark(circuits)];
  if (state !== 'winterized') return [];
  const whole = circuits.length === 0;
  const air = `--method air${whole ? ' --traps' : ''}`;
  if (method === null) {
    const traps = whole ? ', traps not done' : '';
    return [
      `No method was given: taken as blown out${traps}. Add --method antifreeze if it was filled${whole ? `, or ${air} if antifreeze was poured into traps, toilets and pump as well` : ', or --method air if so'}.`,
    ];
  }
  const trap = trapOf(request);
  if (method !== 'air' || !whole || request.traps === true || trap === undefined) return [];
  return [
    `Air does not empty a trap: the traps are taken as they were. Add --traps if antifreeze was poured into every trap, the toilets and the pump; of one trap say "winterized --method antifreeze --circuit ${trap}".`,
  ];
}

function trapOf({ config, unit }: MarkRequest): string | undefined {
  const parts = config.units.find((u) => u.id === unit)?.model.parts ?? [];
  return parts.map((p) => p.circuit).find(isTrap);
}

function fluidRemarks(request: MarkRequest): readonly string[] {
  const { method, concentrationPercent, fluid } = request;
  if (method !== 'antifreeze') return [];
  return [
    ...(concentrationPercent === null ? [unmeasured(request)] : []),
    ...measuredRemarks(request),
    ...fluidCautions(fluid ?? 'glycol'),
  ];
}

/** Whoever has measured weak fluid still stands there with the jug. */
function measuredRemarks(request: MarkRequest): readonly string[] {
  const { method, concentrationPercent: percent } = request;
  if (method !== 'antifreeze' || percent === null || percent >= READY_TO_USE_PERCENT) return [];
  return [
    `Fluid of ${percent} % bursts nothing down to ${bears(request)}. For colder nights pump again, until what comes at the last tap is stronger.`,
  ];
}

/** In the traps, where only they are spoken of. */
function whereOf({ circuits }: MarkRequest): string {
  return circuits.length > 0 && circuits.every(isTrap) ? 'trap-' : '';
}

/** Rounded up: what it bears must not be told too cold. */
function bears(request: MarkRequest): string {
  const { concentrationPercent: percent, fluid, config } = request;
  const filling = {
    ...(percent === null ? {} : { concentrationPercent: percent }),
    ...(fluid === undefined ? {} : { fluid }),
  };
  return formatTemperature(Math.ceil(bearsC(whereOf(request), filling)), config.display.temperature);
}

function unmeasured(request: MarkRequest): string {
  const kind = request.fluid ?? 'glycol';
  const where = whereOf(request);
  const onlyTraps = where !== '';
  const mixed = onlyTraps
    ? ''
    : `, thinned to ${Math.floor(percentIn(where, {}))} % by the ${LEFT_LITRES} L that a good drain leaves`;
  return `No concentration was given: taken as ready-to-use fluid of ${READY_TO_USE_PERCENT} % ${kind}${mixed}, which bursts nothing down to ${bears(request)}. Measure it at the last tap and add --concentration.`;
}
