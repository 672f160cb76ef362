import { ACTIONS } from '../decision/advice.ts';
import type { Action, Advice, ChanceOfDamage } from '../decision/advice.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { formatLocal, formatNear } from '../quantity/local-time.ts';
import { formatDegreeHours, formatTemperature } from '../quantity/temperature.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import { chanceText, isSingle } from './chance.ts';
import { andList, circuitsWords } from './circuits.ts';
import type { MoneyFacts, UnitFacts } from './message.ts';
import { measuresWords } from './measures.ts';
import { priceText } from './money-words.ts';
import { oneLine } from './plain.ts';
import { UNTRIP, trippedWords } from './trip-words.ts';
import { capital, doingWords, verb } from './words.ts';

/** How numbers and times are shown: a reader, or the settings of the check answer in the place's zone. */
export interface ReasonDisplay {
  readonly temperature: TemperatureUnit;
  readonly timeZone: string;
}

/**
 * Why the advice is what it is, in words: what the cold does to this unit as it stands, and what each action
 * would leave of the chance of damage.
 */
export function reasonText(advice: Advice, facts: UnitFacts, display: ReasonDisplay): string {
  return [
    frozenSentence(facts),
    facts.tripped === null ? null : `${trippedWords(facts.tripped)} ${UNTRIP}`,
    coldSentence(advice, facts, display),
    facts.chances === null ? null : chancesSentence(advice, facts.chances, facts),
    ruleSentence(advice, facts.money),
    freeSentence(advice),
    refusedSentence(advice, facts),
    throughColdSentence(advice, facts, display.timeZone),
    takesSentence(advice),
  ]
    .filter((sentence) => sentence !== null)
    .join(' ');
}

function frozenSentence(facts: UnitFacts): string | null {
  if (!facts.alreadyDamaged && !facts.suspect) return null;
  return 'By the cold so far it may already have frozen: do not pressurise it until a person has checked it.';
}

function coldSentence(advice: Advice, facts: UnitFacts, display: ReasonDisplay): string {
  const cold = coldWords(facts, display);
  if (advice.reasonCode === 'no-freeze' || advice.reasonCode === 'within-tolerance') return `${cold}.`;
  const first = firstPartWords(facts, display);
  return first === null ? `${cold}.` : `${cold}; ${first}.`;
}

/** The lowest temperature outside and the degree-hours, without a full stop. */
export function coldWords(facts: UnitFacts, display: ReasonDisplay): string {
  const lowest = facts.lowestOutside;
  if (lowest === null) return 'The lowest temperature ahead is not known';
  const shown = formatTemperature(lowest.temperatureC, display.temperature);
  if (lowest.temperatureC >= 0) return `Outside it stays at ${shown} or above`;
  const degreeHours = facts.spells.reduce((sum, spell) => sum + spell.degreeHours, 0);
  const spells = facts.spells.length > 1 ? ` in ${facts.spells.length} cold spells` : '';
  const below = `${formatDegreeHours(degreeHours, display.temperature)} below freezing${spells}`;
  return `Outside it goes down to ${shown} on ${near(lowest.at, facts, display)} (${below})`;
}

export function firstPartWords(facts: UnitFacts, display: ReasonDisplay): string | null {
  if (facts.firstPart === null && facts.firstDamageAt === null) return null;
  const part = facts.firstPart === null ? 'the first part' : `the ${oneLine(facts.firstPart)}`;
  const likely = (facts.chances?.perAction.nothing ?? 0) > 0.5;
  const when = facts.firstDamageAt === null ? '' : `, about ${near(facts.firstDamageAt, facts, display)}`;
  const first = facts.firstPart === null ? '' : ' first';
  const freezes = likely ? verb(part, 'freezes', 'freeze') : 'would freeze';
  return `left as it is ${part} ${freezes}${first}${when}`;
}

/** What is broken already is not in the chances. */
export function damageWords({ suspect, alreadyDamaged }: UnitFacts): string {
  return suspect || alreadyDamaged ? 'more damage' : 'damage';
}

function chancesSentence(advice: Advice, chances: ChanceOfDamage, facts: UnitFacts): string | null {
  const asItIs = chances.perAction.nothing;
  if (asItIs === undefined) return null;
  if (isSingle(chances.resolution)) return singleSentence(advice, chances, facts);
  const chance = capital(chanceText(asItIs, chances.resolution));
  const head = `${chance} chance of ${damageWords(facts)} within ${facts.windowHours} h`;
  if (advice.reasonCode === 'no-freeze') return `${head} as it stands.`;
  if (advice.reasonCode === 'within-tolerance') return `${head} as it stands${acceptedWords(chances)}.`;
  const left = stronger(chances).map(([action, of], index) => {
    const shown = chanceText(of, chances.resolution);
    return `${doingWords(action)}${index === 0 ? ' leaves' : ''} ${shown}`;
  });
  return left.length === 0 ? `${head}.` : `${head}; ${left.join(', ')}.`;
}

function acceptedWords(chances: ChanceOfDamage): string {
  const accepted = chances.tolerance.nothing;
  return accepted === undefined ? '' : `, within the ${Math.round(accepted * 1000) / 10} % that is accepted`;
}

function singleSentence(advice: Advice, chances: ChanceOfDamage, facts: UnitFacts): string {
  const damaged = (chances.perAction.nothing ?? 0) >= 0.5;
  const what = `${damaged ? '' : 'no '}${damageWords(facts)}`;
  const head = `By this single forecast there is ${what} within ${facts.windowHours} h`;
  const quiet = advice.reasonCode === 'no-freeze' || advice.reasonCode === 'within-tolerance';
  if (quiet || !damaged) return `${head} as it stands.`;
  const left = stronger(chances).map(
    ([action, chance]) => `${doingWords(action)} ${chance >= 0.5 ? 'does not prevent' : 'prevents'} it`,
  );
  return left.length === 0 ? `${head}.` : `${head}; ${left.join(', ')}.`;
}

/** Hours that a person named are kept where that can be. */
function freeSentence({ inFreeHours }: Advice): string | null {
  if (inFreeHours !== false) return null;
  return 'None of the free hours that were named are left before it is due: the time to start by falls outside them.';
}

/** Every feasible action above nothing with its chance, in rising order of work. */
export function stronger(chances: ChanceOfDamage): readonly (readonly [Action, number])[] {
  return ACTIONS.flatMap((action) => {
    const chance = chances.perAction[action];
    return action === 'nothing' || chance === undefined ? [] : [[action, chance] as const];
  });
}

export function ruleSentence(advice: Advice, money: UnitFacts['money']): string | null {
  switch (advice.reasonCode) {
    case 'nothing-suffices':
      return leastSentence(advice, money ?? null);
    case 'frozen-path':
      return 'Ice stands in the way: it cannot be drained, blown out or pumped until that has thawed.';
    case 'held':
      return 'By this forecast less work would do; the advice stands until another forecast confirms it.';
    case 'no-freeze':
    case 'within-tolerance':
    case 'cold-ahead':
      return null;
  }
}

/** What the least costly of several that are not enough leaves at stake. */
function leastSentence({ action }: Advice, money: MoneyFacts | null): string {
  const head = 'Nothing that can still be done brings this within what is accepted';
  if (action === 'nothing') return `${head}, and no work saves more than it costs.`;
  const least = `${head}; ${doingWords(action)} costs least with the damage that is still to be expected then.`;
  if (money?.after === undefined) return least;
  const { expected, parts } = money.after;
  const price = (amount: number): string => priceText(amount, money.currency);
  const left = expected < 1 ? 'Little damage' : `${capital(price(expected))} of damage`;
  const what = parts.length === 0 ? '' : `, among it ${andList(parts.map(oneLine))}`;
  return `${least} ${left} stays at stake${what}; left as it is, ${price(money.leaving)}.`;
}

/** Why heat is not advised although there is a furnace. */
export function refusedSentence({ action }: Advice, { overloadW }: UnitFacts): string | null {
  if (overloadW <= 0 || action === 'nothing' || action === 'keep-warm') return null;
  return `Keeping it warm is refused: it would draw ${(overloadW / 1000).toFixed(1)} kW more than the post bears, and all heat would stop at once.`;
}

/** Why less does not do although it would within the window. */
export function throughColdSentence(
  { throughCold }: Pick<Advice, 'throughCold'>,
  { chances }: Pick<UnitFacts, 'chances'>,
  timeZone: string,
): string | null {
  if (throughCold === undefined || chances === null) return null;
  const { resolution, tolerance } = chances;
  const left = stronger({ ...chances, perAction: throughCold.chances }).map(([action, chance], index) => {
    if (isSingle(resolution)) return `${doingWords(action)} does not prevent damage`;
    const accepted = tolerance[action];
    const more =
      accepted === undefined ? '' : `, more than the ${Math.round(accepted * 1000) / 10} % accepted`;
    return `${doingWords(action)}${index === 0 ? ' leaves' : ''} ${chanceText(chance, resolution)}${more}`;
  });
  return `Through this cold, until ${formatLocal(throughCold.until, timeZone)}, ${left.join('; ')}.`;
}

type Takes = Pick<Advice, 'action' | 'circuits' | 'closed' | 'measures'>;

/** What is to be done in particular; null: the action says it all. */
export function takesSentence(advice: Takes): string | null {
  const taken = [workSentence(advice), closedSentence(advice)].filter((one) => one !== null);
  return taken.length === 0 ? null : taken.join(' ');
}

function workSentence({ action, circuits, measures }: Takes): string | null {
  if (action === 'drain-part') return `Drain ${circuitsWords(circuits ?? [])}; the inside stays in use.`;
  if (measures !== undefined) return `It takes: ${measuresWords(measures)}.`;
  return circuits === undefined ? null : `Only this is to be done: ${circuitsWords(circuits)}.`;
}

/** What ice closes takes no part in the work. */
export function closedSentence({ closed }: Pick<Advice, 'closed'>): string | null {
  if (closed === undefined) return null;
  return `Ice closes this, so leave it as it is until it has thawed: ${circuitsWords(closed)}.`;
}

function near(instant: EpochSeconds, facts: UnitFacts, display: ReasonDisplay): string {
  return formatNear(instant, facts.asOf, display.timeZone);
}
