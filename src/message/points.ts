/**
 * What every message says below its first line, in this order and under these names: how sure, why, what happens if
 * nothing is done, what else is possible, and which data it rests on.
 */
import type { Action } from '../decision/advice.ts';
import { priceText } from './money-words.ts';
import { HOUR_S } from '../quantity/instant.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Block, Row, Section, Told } from './body.ts';
import { section } from './body.ts';
import { chanceText, isSingle } from './chance.ts';
import { limitWords, spellWords } from './cold.ts';
import {
  firstPartWords,
  takesSentence,
  refusedSentence,
  ruleSentence,
  stronger,
  throughColdSentence,
} from './reason.ts';
import { sureWords } from './sure.ts';
import { inReaderZone, nearForReader } from './times.ts';
import { trippedWords } from './trip-words.ts';
import { capital, doingWords, minutesWords, verb } from './words.ts';

export interface Points {
  /** Between the first line and the rest. */
  readonly before?: readonly Row[];
  readonly sure: string;
  readonly why: string;
  readonly ifNot: string;
  readonly else: string;
}

const POINT_LABELS = ['How sure', 'Why', 'If not', 'What else', 'Data'] as const;

/** The points as rows, and the picture that shows them. */
export function pointSection(told: Told, points: Points): Section | null {
  const values = [points.sure, points.why, points.ifNot, points.else, dataWords(told)];
  const rows = POINT_LABELS.map((label, index) => ({ label, value: values[index] ?? '' }));
  const picture: readonly Block[] = (told.facts.course ?? null) === null ? [] : [{ kind: 'picture' }];
  return section(null, [
    { kind: 'rows', rows: points.before ?? [] },
    { kind: 'rows', rows: rows.filter(({ value }) => value !== '') },
    ...picture,
  ]);
}

/** Those of a message that asks for work. */
export function workPoints(told: Told): Points {
  return { sure: sureWords(told), why: whyWords(told), ifNot: ifNotWords(told), else: elseWords(told) };
}

function whyWords(told: Told): string {
  const { advice, tripped, money } = told.facts;
  const rule =
    advice === null || advice.reasonCode === 'nothing-suffices' ? null : ruleSentence(advice, money);
  return sentences([
    tripped === null ? null : trippedWords(tripped),
    `${spellWords(told)}.`,
    limitWords(told),
    rule,
    advice === null ? null : throughColdSentence(advice, told.facts, told.reader.timeZone),
    advice === null ? lastLowWords(told) : takesSentence(advice),
  ]);
}

/** What was known before the forecast was lost; null: it was not, or nothing was. */
function lastLowWords({ facts, reader }: Told): string | null {
  const known = facts.lastKnown;
  if (known === null) return null;
  return `The last known low is ${formatTemperature(known.lowestOutsideC, reader.temperature)}.`;
}

function ifNotWords(told: Told): string {
  const { facts, reader } = told;
  const first = firstPartWords(facts, reader);
  const { money } = facts;
  return sentences([
    first === null
      ? 'What would go first is not known.'
      : `${capital(first)}, and ice splits ${verb(facts.firstPart ?? 'part', 'it', 'them')}.`,
    coldestWords(told),
    facts.hasHose ? 'With the supply on, what is split floods at the thaw.' : null,
    money && money.leaving >= 1
      ? `Expect ${priceText(money.leaving, money.currency)} of damage on average.`
      : null,
  ]);
}

/** From here on a reader takes the time to start by for a mistake. */
const FAR_APART_S = 3 * HOUR_S;

/** Why the work is asked for long before the hour that is named; null: it is not. */
function coldestWords(told: Told): string | null {
  const { dueAt, firstDamageAt, asOf } = told.facts;
  const { startBy } = told.notice;
  if (dueAt === null || firstDamageAt === null || startBy === null) return null;
  if (firstDamageAt - dueAt < FAR_APART_S || dueAt < asOf) return null;
  return `In the coldest courses that the forecast leaves open it comes to that already ${nearForReader(dueAt, told)}; the time to start by is set for those.`;
}

/** What each feasible action leaves, this one with the others, and why not heat. */
function elseWords(told: Told): string {
  const { facts, notice } = told;
  const { advice, chances } = facts;
  return sentences([
    advice?.reasonCode === 'nothing-suffices' ? ruleSentence(advice, facts.money) : null,
    chances === null ? 'What other work would leave is not known.' : leavesWords(told),
    otherMethodWords(told),
    advice === null ? null : refusedSentence(advice, facts),
    !facts.hasHeat && (notice.action === 'drain' || notice.action === 'winterize')
      ? 'It has no heat to keep it warm.'
      : null,
  ]);
}

/** `Draining leaves 62 % (about 20 dollars), winterizing under 2 % within 72 h.` */
function leavesWords({ facts }: Told): string | null {
  const { advice, chances, money, windowHours, warmFirstPart } = facts;
  if (chances === null) return null;
  const single = isSingle(chances.resolution);
  const within = single ? '' : ` within ${windowHours} h`;
  // What keeps it from being warm enough can perhaps be mended.
  const firstWords = (action: Action): string =>
    action === 'keep-warm' && action !== advice?.action && warmFirstPart !== null
      ? ` (the ${warmFirstPart} first)`
      : '';
  const left = stronger(chances).map(([action, chance], index) => {
    const doing = action === advice?.action ? (money?.doing ?? null) : null;
    const cost = doing === null ? firstWords(action) : ` (${priceText(doing, money?.currency ?? '')})`;
    if (single) return `${doingWords(action)} ${chance >= 0.5 ? 'does not prevent' : 'prevents'} it${cost}`;
    return `${doingWords(action)}${index === 0 ? ' leaves' : ''} ${chanceText(chance, chances.resolution)}${cost}`;
  });
  return left.length === 0 ? 'No other work is possible now.' : `${capital(left.join(', '))}${within}.`;
}

/** What the kit allows beside what is advised; null: nothing else, or no water is to be taken out of the lines. */
function otherMethodWords({ facts, notice }: Told): string | null {
  const other = facts.route?.other;
  if (other === undefined || (notice.action !== 'drain' && notice.action !== 'winterize')) return null;
  const [how, but] =
    other.method === 'air'
      ? ['air, by the compressor at hand,', '; a low spot that stays full is its risk']
      : ['antifreeze', ''];
  const currency = facts.money?.currency;
  const price = currency === undefined ? '' : ` and costs ${priceText(other.cost, currency)}`;
  return `Winterizing with ${how} takes ${minutesWords(other.minutes)}${price}${but}.`;
}

/** Which forecast it is and how old: nobody should act on yesterday's without knowing it. */
export function dataWords(told: Told): string {
  const { forecast, asOf } = told.facts;
  const computed = `Computed ${inReaderZone(asOf, told)}.`;
  if (forecast === null) return `There is no usable forecast. ${computed}`;
  const { source, issuedAt, fetchedAt } = forecast;
  const [how, at] = issuedAt === null ? ['last renewed', fetchedAt] : ['issued', issuedAt];
  const hours = Math.max(0, Math.floor((asOf - at) / HOUR_S));
  const was = `The forecast of ${source} was ${how} ${inReaderZone(at, told)}`;
  return hours === 0 ? `${was} and is less than an hour old.` : `${was} and is ${hours} h old. ${computed}`;
}

export function sentences(all: readonly (string | null)[]): string {
  return all.filter((one) => one !== null && one !== '').join(' ');
}
