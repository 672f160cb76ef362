/** What a person should know of what they have just said, in full sentences. */
import { READY_TO_USE_PERCENT, fluidCautions } from '../model/antifreeze.ts';
import { isTrap } from '../model/circuit-names.ts';
import { LEFT_LITRES, bearsC, percentIn } from '../model/filling.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { MarkRequest } from './mark-request.ts';

/** @param suspect - the unit may have frozen, and nobody has checked it */
export function remarks(request: MarkRequest, suspect: boolean): readonly string[] {
  return [...iceRemarks(request, suspect), ...methodRemarks(request), ...fluidRemarks(request)];
}

/** What was poured, blown or let out may have met ice. */
function iceRemarks({ state, unit }: MarkRequest, suspect: boolean): readonly string[] {
  if (!suspect || (state !== 'drained' && state !== 'winterized')) return [];
  return [
    `It may have frozen, and ice may still close the way, so that water stays behind it. When it has thawed, look for splits, do it once more, and say "drainby mark -c FILE ${unit} checked".`,
  ];
}

const DRAINED_QUICKLY =
  'No quality was given: taken as drained quickly, so that what gravity leaves full (pump, strainer, filter bowl, flush line, city inlet) still holds water. Add --quality well if that was emptied too.';

function methodRemarks(request: MarkRequest): readonly string[] {
  const { state, method, quality, circuits } = request;
  if (state === 'drained' && quality === null) return [DRAINED_QUICKLY];
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
    ...fluidCautions(fluid ?? 'glycol'),
  ];
}

/** Rounded up: what it bears must not be told too cold. */
function unmeasured({ circuits, fluid, config }: MarkRequest): string {
  const kind = fluid ?? 'glycol';
  const onlyTraps = circuits.length > 0 && circuits.every(isTrap);
  const where = onlyTraps ? 'trap-' : '';
  const bears = formatTemperature(
    Math.ceil(bearsC(where, fluid === undefined ? {} : { fluid })),
    config.display.temperature,
  );
  const mixed = onlyTraps
    ? ''
    : `, thinned to ${Math.floor(percentIn(where, {}))} % by the ${LEFT_LITRES} L that a good drain leaves`;
  return `No concentration was given: taken as ready-to-use fluid of ${READY_TO_USE_PERCENT} % ${kind}${mixed}, which bursts nothing down to ${bears}. Measure it at the last tap and add --concentration.`;
}
