/** One message for many units of one reader: what has no time left first, then by the time to start by. */
import { shortCautions } from './cautions.ts';
import { gsmText } from './gsm.ts';
import type { ListBody, ListedPlace } from './list-body.ts';
import { listHtml } from './list-html.ts';
import type { OutgoingMessage } from './message.ts';
import { fitted } from './short.ts';
import { capital, listed } from './words.ts';
import { wrap } from './wrap.ts';
import { isoSecond } from '../quantity/instant.ts';
import { OUTSIDE_ACTIONS, type OutsideAction } from '../decision/advice.ts';

const WIDTH = 72;

/** Work that can wait for nothing, then work by its time, then what asks for none. */
const URGENT: readonly OutgoingMessage['kind'][] = ['frozen', 'late'];
const CALM: readonly OutgoingMessage['kind'][] = ['heads-up', 'all-clear', 'fill-again', 'test'];

/** @throws {RangeError} when there is no message to list. */
export function listMessage(messages: readonly OutgoingMessage[]): OutgoingMessage {
  const sorted = messages.toSorted(inOrder);
  const [first] = sorted;
  if (first === undefined) throw new RangeError('A list needs at least one message; this is a bug.');
  const body = bodyOf(sorted);
  const startBys = sorted.flatMap(({ startBy }) => (startBy === null ? [] : [startBy]));
  const places = new Set(sorted.map(({ place }) => place));
  return {
    messageId: messages[0]?.messageId ?? first.messageId,
    kind: 'list',
    unit: sorted.map(({ unit }) => unit).join(','),
    action: strongest(sorted),
    ...partialOf(sorted),
    startBy: startBys.length === 0 ? null : Math.min(...startBys),
    cause: first.cause,
    to: first.to,
    createdAt: Math.max(...sorted.map(({ createdAt }) => createdAt)),
    subject: body.subject,
    text: textOf(body),
    html: listHtml(body),
    short: shortOf(sorted),
    ...(places.size === 1 && first.place !== undefined ? { place: first.place } : {}),
    ...useBeforeOf(sorted),
  };
}

function inOrder(a: OutgoingMessage, b: OutgoingMessage): number {
  return (
    rank(a) - rank(b) ||
    (a.startBy ?? Infinity) - (b.startBy ?? Infinity) ||
    nameOf(a).localeCompare(nameOf(b), 'en', { numeric: true })
  );
}

function rank({ kind, startBy }: OutgoingMessage): number {
  if (URGENT.includes(kind)) return URGENT.indexOf(kind);
  if (CALM.includes(kind)) return 5;
  return startBy === null ? 4 : 3;
}

function nameOf({ line, unit }: OutgoingMessage): string {
  return line?.label ?? unit;
}

function asksForWork({ kind }: OutgoingMessage): boolean {
  return !CALM.includes(kind);
}

function strongest(messages: readonly OutgoingMessage[]): OutsideAction {
  return messages.reduce<OutsideAction>(
    (most, { action }) => (OUTSIDE_ACTIONS.indexOf(action) > OUTSIDE_ACTIONS.indexOf(most) ? action : most),
    'nothing',
  );
}

/** Where its drains are of what lies outside alone; one whole drain is the stronger. */
function partialOf(messages: readonly OutgoingMessage[]): Pick<OutgoingMessage, 'partial'> {
  const most = strongest(messages);
  const asking = messages.filter(({ action }) => action === most);
  return asking.length > 0 && asking.every(({ partial }) => partial === true) ? { partial: true } : {};
}

/** What misleads about one of them misleads as a whole. */
function useBeforeOf(messages: readonly OutgoingMessage[]): Pick<OutgoingMessage, 'useBefore'> {
  const ends = messages.flatMap(({ useBefore }) => (useBefore === undefined ? [] : [useBefore]));
  return ends.length === 0 ? {} : { useBefore: Math.min(...ends) };
}

function bodyOf(sorted: readonly OutgoingMessage[]): ListBody {
  return {
    subject: subjectOf(sorted),
    places: placesOf(sorted),
    notes: [
      'Why, for each unit: drainby explain -c FILE UNIT, with its id for UNIT. What was done is said with drainby mark -c FILE UNIT STATE, or by the links in the owner’s own message.',
    ],
    cautions: shortCautions(sorted.map(({ kind, action }) => ({ kind, action }))),
    origin: [
      ...new Set(sorted.flatMap(({ line }) => (line?.data === undefined ? [] : [line.data]))),
      'Computed from public forecasts and engineering estimates: it can be wrong, and a look at the unit beats it.',
    ],
  };
}

/** `12 units need work, first by Thu 26 Nov, 14:00 MST: A-04 trailer, drain` */
function subjectOf(sorted: readonly OutgoingMessage[]): string {
  const work = sorted.filter(asksForWork);
  const [first] = work;
  if (first === undefined) {
    const isAhead = sorted.some(({ kind }) => kind === 'heads-up');
    return `${unitsWords(sorted.length)}: ${isAhead ? 'cold ahead, nothing to do yet' : 'nothing to do now'}`;
  }
  const missed = unreachedWords(sorted, first);
  return `${needWords(work)}, first ${byWords(first)}: ${nameOf(first)}, ${whatWords(first)}${missed === '' ? '' : `; ${missed}`}`;
}

/** A unit can be asked for and have somebody who was not reached about it: it is one all the same. */
function needWords(work: readonly OutgoingMessage[]): string {
  const count = new Set(work.map(({ unit }) => unit)).size;
  return `${unitsWords(count)} ${count === 1 ? 'needs' : 'need'} work`;
}

/** So many are named in a subject. */
const NAMED = 2;

/** Who was not reached about others than the first, whose own words name them; empty: everyone was. */
function unreachedWords(sorted: readonly OutgoingMessage[], first: OutgoingMessage): string {
  const named = first.line?.unreached ?? [];
  const all = sorted.flatMap(({ line }) => line?.unreached ?? []).filter((name) => !named.includes(name));
  const names = [...new Set(all)];
  if (names.length === 0) return '';
  return `${names.length > NAMED ? `${names.length} people` : listed(names)} not reached`;
}

function unitsWords(count: number): string {
  return count === 1 ? '1 unit' : `${count} units`;
}

function byWords(message: OutgoingMessage): string {
  return URGENT.includes(message.kind) || message.startBy === null ? 'now' : `by ${byOf(message)}`;
}

function byOf(message: OutgoingMessage): string {
  if (URGENT.includes(message.kind)) return 'now';
  const { startBy, line } = message;
  if (startBy === null) return asksForWork(message) ? 'as soon as you can' : '';
  return line?.by ?? isoSecond(startBy);
}

function whatWords({ line, action }: OutgoingMessage): string {
  return line?.what ?? action;
}

/** In the order of their most urgent unit. */
function placesOf(sorted: readonly OutgoingMessage[]): readonly ListedPlace[] {
  const byPlace = new Map<string, OutgoingMessage[]>();
  for (const message of sorted) {
    const label = message.line?.place ?? message.place ?? '';
    byPlace.set(label, [...(byPlace.get(label) ?? []), message]);
  }
  return [...byPlace].map(([label, messages]) => ({
    label: byPlace.size === 1 && label === '' ? null : label,
    units: messages.map((message) => ({
      label: nameOf(message),
      what: whatWords(message),
      by: byOf(message),
      because: message.line?.because ?? message.subject,
      stands: message.line?.stands ?? '',
    })),
  }));
}

function textOf({ subject, places, notes, cautions, origin }: ListBody): string {
  const plain = { first: '', rest: '', width: WIDTH };
  const item = { first: '- ', rest: '  ', width: WIDTH };
  const blocks = [
    wrap(`${subject}.`, plain),
    ...places.map(placeText),
    `Cautions\n--------\n${cautions.map((caution) => wrap(caution, item)).join('\n')}`,
    ...[...notes, ...origin].map((note) => wrap(note, plain)),
  ];
  return `${blocks.join('\n\n')}\n`;
}

/** One line per unit: what a line does not hold goes on below it, indented. */
function placeText({ label, units }: ListedPlace): string {
  const lines = units.map(({ label: unit, what, by, because, stands }) =>
    wrap(
      `${by === '' ? '' : `${capital(by)}: `}${unit}, ${what}. ${[because, stands].filter((one) => one !== '').join(' ')}`.trim(),
      {
        first: '- ',
        rest: '    ',
        width: WIDTH,
      },
    ),
  );
  if (label === null) return lines.join('\n');
  const heading = wrap(label, { first: '', rest: '', width: WIDTH });
  const rule = '-'.repeat(Math.max(...heading.split('\n').map((line) => line.length)));
  return `${heading}\n${rule}\n${lines.join('\n')}`;
}

function shortOf(sorted: readonly OutgoingMessage[]): string {
  const work = sorted.filter(asksForWork);
  const [first] = work;
  if (first === undefined) return gsmText(subjectOf(sorted));
  const by = byWords(first).replace(',', '');
  const head = (label: string): string =>
    gsmText(`${needWords(work)}, first ${by}: ${label}, ${whatWords(first)}.`);
  const rest = work
    .slice(1)
    .map((message) => gsmText(`${byOf(message).replace(',', '')}: ${nameOf(message)}.`));
  const missed = unreachedWords(sorted, first);
  return fitted(head, {
    label: gsmText(nameOf(first)),
    id: first.unit,
    rest: missed === '' ? rest : [gsmText(`${missed}.`), ...rest],
  });
}
