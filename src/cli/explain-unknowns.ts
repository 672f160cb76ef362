/** Which unknown would change the answer most, in words. */
import { capital, verb } from '../message/words.ts';
import { HOUR_S } from '../quantity/instant.ts';
import { formatDifference } from '../quantity/temperature.ts';
import { instantOf, items, near, partOf, type ExplainView } from './explain-view.ts';

type Change = ExplainView['answer']['sensitivity'][number];

/** The answer has them sorted; more is a list that nobody reads. */
const SHOWN = 5;
/** Hours; less is no change to a person. */
const LEAST_H = 0.5;

/** Those that are plural, or read otherwise than "the … is …". */
const IF: Readonly<Record<string, string>> = {
  'walls and draughts': 'the walls are half as leaky again',
  'conductance of the parts': 'the parts lose heat half as fast again',
  'water in the parts': 'the parts hold a third less water',
  'share of the furnace’s output below': 'half as much of the furnace’s heat goes below',
};

export function unknowns(view: ExplainView): string {
  const effects = view.answer.sensitivity.map((change) => ({ change, effect: effectOf(change, view) }));
  const changing = effects.filter(({ effect }) => effect !== null).slice(0, SHOWN);
  const idle = effects.filter(({ effect }) => effect === null).map(({ change }) => ifWords(change, view));
  const lines = changing.map(({ change, effect }) => `If ${ifWords(change, view)}: ${effect}.`);
  const heading = 'What would change the answer, one unknown at a time, the most first:';
  const nothing = idle.length === 0 ? [] : [`${capital(`nothing changes if ${orList(idle)}`)}.`];
  return `${heading}\n${items([...lines, ...nothing])}`;
}

/** Null: it changes nothing that a person would notice. */
function effectOf(change: Change, view: ExplainView): string | null {
  const { firstDamageAt, hoursEarlier, moreParts, fewerParts } = change;
  if (firstDamageAt === null) return fewerParts.length === 0 ? null : 'no damage';
  const about = `about ${near(firstDamageAt, view)}`;
  const isPast = becomesPast(change, view);
  if (hoursEarlier === null && isPast)
    return `it would already have frozen, ${about}, ${countOf(moreParts.length, '')} in all`;
  if (hoursEarlier === null) return `damage, ${about}, to ${countOf(moreParts.length, '')}`;
  const shifted = Math.abs(hoursEarlier) >= LEAST_H;
  const moved = `the first damage ${shiftWords(hoursEarlier)}`;
  const first = !shifted
    ? []
    : [isPast ? `it would already have frozen, ${about}: ${moved}` : `${moved}, ${about}`];
  const counts = [...moreWords(moreParts, { view, shifted }), ...fewerWords(fewerParts)];
  const said = [...first, ...counts];
  return said.length === 0 ? movedWords(change, view) : said.join(', and ');
}

/** What the change moves from the time ahead into the past is not foretold. */
function becomesPast({ firstDamageAt, hoursEarlier }: Change, { answer }: ExplainView): boolean {
  if (firstDamageAt === null) return false;
  const [at, now] = [instantOf(firstDamageAt), instantOf(answer.asOf)];
  return at < now && at + (hoursEarlier ?? Infinity) * HOUR_S >= now;
}

/** "17 more parts are lost, the water pump first, about Sat 03:00" */
function moreWords(
  more: Change['moreParts'],
  { view, shifted }: { readonly view: ExplainView; readonly shifted: boolean },
): readonly string[] {
  const [next] = more;
  if (next === undefined) return [];
  const are = more.length === 1 ? 'is' : 'are';
  const said = `${countOf(more.length, 'more ')} ${are} lost`;
  if (shifted) return [said];
  return [
    `${said}${more.length === 1 ? ':' : ','} the ${labelOf(next.part, view)}${more.length === 1 ? '' : ' first'}, about ${near(next.at, view)}`,
  ];
}

function fewerWords({ length }: readonly string[]): readonly string[] {
  if (length === 0) return [];
  return [`${countOf(length, 'fewer ', 'less ')} ${length === 1 ? 'is' : 'are'} lost`];
}

function countOf(count: number, many: string, one = many): string {
  return count === 1 ? `one ${one}part` : `${count} ${many}parts`;
}

/** The first damage stays where it is, and one after it moves. */
function movedWords({ mostMoved }: Change, view: ExplainView): string | null {
  if (mostMoved === null || Math.abs(mostMoved.hoursEarlier) < LEAST_H) return null;
  const { part, hoursEarlier, at } = mostMoved;
  const label = labelOf(part, view);
  return `the ${label} ${verb(label, 'is', 'are')} lost ${shiftWords(hoursEarlier)}, about ${near(at, view)}`;
}

function labelOf(part: string, view: ExplainView): string {
  return partOf(part, view)?.label ?? part;
}

function shiftWords(hoursEarlier: number): string {
  return `${hoursWords(Math.abs(hoursEarlier))} ${hoursEarlier > 0 ? 'earlier' : 'later'}`;
}

function hoursWords(hours: number): string {
  if (hours >= 48) return `${Math.round(hours / 24)} days`;
  const whole = Math.max(1, Math.round(hours));
  return whole === 1 ? 'an hour' : `${whole} hours`;
}

/** "the air is 3.6 °F colder" */
function ifWords({ unknown, change }: Change, { display }: ExplainView): string {
  const shown = change.replace(/(\d+) K\b/, (_, kelvin: string) =>
    formatDifference(Number(kelvin), display.temperature),
  );
  if (unknown === 'heat') return `all heat ${shown}`;
  return IF[unknown] ?? `the ${unknown} is ${shown}`;
}

function orList(texts: readonly string[]): string {
  const last = texts.at(-1) ?? '';
  return texts.length < 2 ? last : `${texts.slice(0, -1).join(', ')} or ${last}`;
}
