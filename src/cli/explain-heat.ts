/** How long the heat lasts, and how long the unit holds out without it. */
import { UNTRIP, trippedWords } from '../message/trip-words.ts';
import { capital, holdOutWords, shortGasWords, verb } from '../message/words.ts';
import { items, near, partOf, sentences, type ExplainView } from './explain-view.ts';

type Stop = NonNullable<ExplainView['answer']['holdOut']>;

export function heat(view: ExplainView): string {
  const { furnace } = view.answer;
  if (furnace === null) return trip(view).map(sentences).join('\n');
  if (view.answer.holdOut === undefined)
    return [...trip(view), 'Its heat is off now: keeping it warm would switch it on.']
      .map(sentences)
      .join('\n');
  return `How long the heat lasts:\n${items([...supplies(view), ...stops(view)])}`;
}

/** Before all else: what the post does not bear. */
function trip({ answer: { overload } }: ExplainView): readonly string[] {
  return overload === undefined ? [] : [`${trippedWords(overload)} ${UNTRIP}`];
}

function supplies(view: ExplainView): readonly string[] {
  const { furnace, overload } = view.answer;
  const counted = furnace?.battery !== undefined && (!furnace.shore || overload !== undefined);
  const said = [...trip(view), ...gas(view, furnace?.gas), ...battery(view, counted)];
  return said.length > 0
    ? said
    : ['Gas, battery and power are taken to last: nothing is said of how much there is.'];
}

function gas(
  view: ExplainView,
  known: NonNullable<ExplainView['answer']['furnace']>['gas'],
): readonly string[] {
  if (known === undefined) return [];
  const { gasShortFrom } = view.answer.heatLasts;
  const short = gasShortFrom === null ? [] : [`${capital(shortGasWords(near(gasShortFrom, view)))}.`];
  return [onBoard(view, known), ...short];
}

function onBoard(
  view: ExplainView,
  known: NonNullable<NonNullable<ExplainView['answer']['furnace']>['gas']>,
): string {
  const until = view.answer.heatLasts.gasOnBoardUntil;
  if (until === null)
    return known.refilled
      ? 'Empty cylinders are taken to be changed in time.'
      : 'The gas on board lasts as long as the forecast reaches.';
  const then = known.refilled
    ? 'it is taken to be refilled in time, so have it refilled before'
    : 'the furnace stops then unless it is refilled before';
  return `The gas on board lasts until ${near(until, view)}: ${then}.`;
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

/** What cannot run on without power stops with it: then both are one. */
function stops(view: ExplainView): readonly string[] {
  const { holdOut, powerCut, overload } = view.answer;
  if (holdOut === undefined) return [];
  if (overload !== undefined) return holdOut === null ? [] : [`If all heat stops, ${stop(holdOut, view)}`];
  const stopped = stop(holdOut, view);
  const power = powerCut === undefined ? null : stop(powerCut, view);
  if (power === stopped) return [`If the heat or the power at the post stops, ${stopped}`];
  return [
    `If all heat stops, ${stopped}`,
    ...(power === null ? [] : [`If the power at the post fails, the furnace lives on its battery: ${power}`]),
  ];
}

function stop(found: Stop | null, view: ExplainView): string {
  if (found === null) return 'no part that the heat keeps is lost within two days.';
  const label = partOf(found.firstPart, view)?.label ?? found.firstPart;
  const what = view.answer.firstDamage === null ? 'it' : 'what the heat keeps';
  return `${what} holds out ${holdOutWords(found.hours)} at the worst time for it (${near(found.stopsAt, view)}); the ${label} ${verb(label, 'goes', 'go')} first.`;
}
