/** What a person should know of what they have just said, in full sentences. */
import { READY_TO_USE_PERCENT, burstPointC, fluidCautions } from '../model/antifreeze.ts';
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

function methodRemarks({ state, method, circuits }: MarkRequest): readonly string[] {
  if (state !== 'winterized' || method !== null) return [];
  const traps = circuits.length === 0 ? ', traps not done' : '';
  return [`No method was given: taken as blown out${traps}. Add --method antifreeze or air if so.`];
}

function fluidRemarks({ method, concentrationPercent, fluid, config }: MarkRequest): readonly string[] {
  if (method !== 'antifreeze') return [];
  const kind = fluid ?? 'glycol';
  const burst = burstPointC(READY_TO_USE_PERCENT, kind);
  const taken = `No concentration was given: taken as ${READY_TO_USE_PERCENT} % ${kind}, as of ready-to-use fluid, which bursts nothing down to ${formatTemperature(burst, config.display.temperature)}. Water left in the lines thins it: measure it at the last tap and add --concentration.`;
  return [...(concentrationPercent === null ? [taken] : []), ...fluidCautions(kind)];
}
