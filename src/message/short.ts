/**
 * The message as a text message: one of 160 seven-bit letters. What to do and by when are never lost; how low and then
 * how sure give way before the unit's label is shortened.
 */
import { formatLocal, formatLocalDate } from '../quantity/local-time.ts';
import type { Notice } from '../decision/memory.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Told } from './body.ts';
import { isQuiet } from './body.ts';
import { chanceText, isSingle } from './chance.ts';
import { gsmText } from './gsm.ts';
import { isWorkless } from './lead.ts';
import { plannedShort } from './planned.ts';
import { circuitsOf, methodOf, troubleAt } from './times.ts';
import { orderWords, uncapital } from './words.ts';

const SHORT_LENGTH = 160;

/** A label that cannot be read any more names nothing: below so many letters the id does. */
const LEAST_LABEL = 8;

export function shortOf(told: Told): string {
  const { facts } = told;
  return fitted((label) => gsmText(headWords(told, label)), {
    label: readable(facts.unit.label, facts.unit.id),
    id: facts.unit.id,
    rest: [shedWords(told), sureWords(told), lowWords(told)].filter((words) => words !== '').map(gsmText),
  });
}

interface Fitting {
  readonly label: string;
  readonly id: string;
  /** What may be left out, the last first. */
  readonly rest: readonly string[];
}

/** As much as fits; all of it is in the basic alphabet, so that letters are septets. */
export function fitted(head: (label: string) => string, { label, id, rest }: Fitting): string {
  for (let kept = rest.length; kept >= 0; kept--) {
    const text = [head(label), ...rest.slice(0, kept)].join(' ');
    if (text.length <= SHORT_LENGTH) return text;
  }
  // Of an empty label its blanks would run together.
  const room = SHORT_LENGTH - (head('x').length - 1);
  return head(shortLabel(label, id, room));
}

/** Whole words of it and two dots; the id where not even that tells what is meant; a cut word as the last resort. */
function shortLabel(label: string, id: string, room: number): string {
  const words = label.split(' ');
  for (let count = words.length - 1; count > 0; count--) {
    const kept = `${words.slice(0, count).join(' ')}..`;
    if (kept.length <= room && kept.length >= LEAST_LABEL) return kept;
  }
  const name = gsmText(id);
  if (name.length <= room) return name;
  return `${label.slice(0, Math.max(0, room - 2))}..`;
}

/** The label in the alphabet, or the id where little of it can be written. */
function readable(label: string, id: string): string {
  const text = gsmText(label);
  const letters = Array.from(text).filter((letter) => /[\p{L}\p{N}]/u.test(letter)).length;
  const lost = Array.from(text).filter((letter) => letter === '?').length;
  return letters > lost ? text : gsmText(id);
}

/** What to do and by when; the label stands in it as it is given. */
function headWords(told: Told, label: string): string {
  const { notice } = told;
  if (notice.forecastBack === true && isQuiet(notice))
    return `Forecast for ${label} is back. No work advised now.`;
  switch (notice.kind) {
    case 'act':
      return `${order(told, label)}${byWords(told)}.`;
    case 'last-call':
      return `Last call: ${uncapital(order(told, label))}${byWords(told)}.`;
    case 'worse':
      return `Worse: ${uncapital(order(told, label))}${byWords(told)}.`;
    case 'late':
      return `Late: ${uncapital(order(told, label))} now.`;
    case 'frozen':
      return `${label} may have frozen: do not pressurise. Supply, pump, heater element off now.`;
    case 'all-clear':
      return `All clear: ${label}.${told.facts.suspect || told.facts.alreadyDamaged ? ' It may have frozen: have it checked first.' : ''}`;
    case 'no-forecast':
      return `No forecast for ${label}: unknown is not safe. ${blindWords(told)}`;
    case 'heads-up':
      return `Heads-up: ${label}, damaging cold likely${aboutWords(told)}. ${notYetWords(told)}`;
    case 'fill-again':
      return `${label} may be filled again.`;
    case 'fill-by':
      return `Fill fresh tank of ${label}${byWords(told)}.`;
    case 'dump-by':
      return `Dump tanks of ${label}${byWords(told)}.`;
    case 'unreached':
      return `Not everyone reached about ${label}: tell them${orDo(told)}.`;
  }
}

const SHEDS: readonly Notice['kind'][] = ['heads-up', 'act', 'last-call', 'worse', 'late', 'no-forecast'];

/** A switch is the least work of all; what is advised is without the heat that hangs on it. */
function shedWords({ facts: { tripped }, notice }: Told): string {
  return tripped === null || !SHEDS.includes(notice.kind) ? '' : 'Post overloaded: switch loads off first.';
}

/** What it will take, and that nothing is asked for yet. */
function notYetWords(told: Told): string {
  const planned = plannedShort(told);
  return planned === null ? 'No work yet.' : `No work yet; then ${planned}.`;
}

function orDo(told: Told): string {
  return told.notice.action === 'nothing' ? '' : ` or ${uncapital(order(told, 'it'))}${byWords(told)}`;
}

/** The order as it is read first; of circuits only the traps are named, the rest is "part". */
function order(told: Told, label: string): string {
  const circuits = circuitsOf(told);
  const traps = circuits?.every((circuit) => circuit.startsWith('trap-')) === true;
  const of = traps ? `traps only of ${label}` : circuits === null ? label : `part of ${label}`;
  const { hasHose } = told.facts;
  return orderWords(told.notice.action, { label: of, method: methodOf(told), hasHose, circuits: null });
}

function byWords({ notice, reader }: Told): string {
  if (isWorkless(notice)) return ': no work helps now';
  return notice.startBy === null
    ? ' as soon as you can'
    : ` by ${formatLocal(notice.startBy, reader.timeZone).replace(',', '')}`;
}

function aboutWords(told: Told): string {
  const at = troubleAt(told);
  return at === null ? '' : ` about ${formatLocalDate(at, told.reader.timeZone)}`;
}

/** What was advised holds; where nothing was, the reader has to look. */
function blindWords(told: Told): string {
  if (told.notice.action === 'nothing') return 'Look at another forecast; drain if in doubt.';
  return `${order(told, 'it')}${byWords(told)}.`;
}

/** `73% chance of damage.`; a single forecast is not sure of anything. */
function sureWords({ facts, notice }: Told): string {
  const { chances } = facts;
  const chance = chances?.perAction.nothing;
  if (chances === null || chance === undefined || notice.kind === 'frozen') return '';
  if (notice.kind === 'heads-up' || notice.kind === 'fill-by' || notice.kind === 'dump-by') return '';
  const shown = chanceText(chance, chances.resolution).replace(' %', '%');
  return isSingle(chances.resolution) ? `${shown}.` : `${shown} chance of damage.`;
}

/** `Low 28F Sun 15 Nov 07:00 CST.` */
function lowWords({ facts, reader, notice }: Told): string {
  if (notice.kind === 'no-forecast') {
    const known = facts.lastKnown;
    if (known === null) return '';
    return `Last known low ${formatTemperature(known.lowestOutsideC, reader.temperature).replace(' °', '')}.`;
  }
  const lowest = facts.lowestOutside;
  if (lowest === null) return '';
  const at = formatLocal(lowest.at, reader.timeZone).replace(',', '');
  return `Low ${formatTemperature(lowest.temperatureC, reader.temperature).replace(' °', '')} ${at}.`;
}
