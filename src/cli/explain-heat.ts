/** How long the heat lasts, and how long the unit holds out without it. */
import { holdOutWords } from '../message/words.ts';
import { items, near, partOf, type ExplainView } from './explain-view.ts';

type Stop = NonNullable<ExplainView['answer']['holdOut']>;

export function heat(view: ExplainView): string {
  const { furnace } = view.answer;
  if (furnace === null) return '';
  if (view.answer.holdOut === undefined) return 'Its heat is off now: keeping it warm would switch it on.';
  return `How long the heat lasts:\n${items([...supplies(view), ...stops(view)])}`;
}

function supplies(view: ExplainView): readonly string[] {
  const { furnace, heatLasts } = view.answer;
  return [
    ...gas(view, furnace?.gas),
    ...battery(view, furnace?.battery !== undefined && !furnace.shore),
  ].concat(
    heatLasts.gasUntil === null && heatLasts.batteryUntil === null && furnace?.gas === undefined
      ? ['Gas, battery and power are taken to last: nothing is said of how much there is.']
      : [],
  );
}

function gas(
  view: ExplainView,
  known: NonNullable<ExplainView['answer']['furnace']>['gas'],
): readonly string[] {
  if (known === undefined) return [];
  const until = view.answer.heatLasts.gasUntil;
  if (until === null) return ['The gas on board lasts as long as the forecast reaches.'];
  const then = known.refilled
    ? 'it is taken to be refilled in time, so have it refilled before'
    : 'the furnace stops then unless it is refilled before';
  return [`The gas on board lasts until ${near(until, view)}: ${then}.`];
}

function battery(view: ExplainView, counted: boolean): readonly string[] {
  if (!counted) return [];
  const until = view.answer.heatLasts.batteryUntil;
  return [
    until === null
      ? 'The battery runs the furnace as long as the forecast reaches.'
      : `The battery runs the furnace until ${near(until, view)}, and then the heat stops.`,
  ];
}

function stops(view: ExplainView): readonly string[] {
  const { holdOut, powerCut } = view.answer;
  const cut = powerCut === undefined ? [] : [`If the power at the post fails, ${stop(powerCut, view)}`];
  return holdOut === undefined ? cut : [`If all heat stops, ${stop(holdOut, view)}`, ...cut];
}

function stop(found: Stop | null, view: ExplainView): string {
  if (found === null) return 'no part that the heat keeps is lost within two days.';
  const label = partOf(found.firstPart, view)?.label ?? found.firstPart;
  return `it holds out ${holdOutWords(found.hours)} at the worst time for it (${near(found.stopsAt, view)}); the ${label} goes first.`;
}
