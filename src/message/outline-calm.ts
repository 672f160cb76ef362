import { formatTemperature } from '../quantity/temperature.ts';
import { filledAnswer, quietAnswer } from './answer-sections.ts';
import { paragraph, section } from './body.ts';
import type { Section, Told } from './body.ts';
import { chanceText, isSingle } from './chance.ts';
import { hoursWords, limitWords, spellWords } from './cold.ts';
import { firstPartWords } from './reason.ts';
import { isWorkPlanned, plannedTimeWords } from './planned.ts';
import { pointSection, sentences } from './points.ts';
import { cautions, figures, howTo, shedRows, suspectNote } from './sections.ts';
import { antifreezeNeeds, gallonsText } from './steps-route.ts';
import { likelihood, sureWords } from './sure.ts';
import { nearForReader, troubleAt } from './times.ts';
import { capital } from './words.ts';

/** The messages that ask for nothing yet, or nothing more: heads-up, all-clear, fill-again. */

export function headsUpOutline(told: Told): readonly (Section | null)[] {
  const { facts } = told;
  const first = firstPartWords({ ...facts, chances: null }, told.reader);
  return [
    suspectNote(told),
    pointSection(told, {
      before: [...shedRows(told), { label: 'By when', value: plannedTimeWords(told) ?? keepFreeWords(told) }],
      sure: aheadWords(told),
      why: sentences([`${spellWords(told)}.`, limitWords(told)]),
      ifNot: first === null ? 'What would go first is not known yet.' : `${capital(first)}.`,
      else: mayChangeWords(told),
    }),
    figures(told),
    section('What can be done already', [{ kind: 'list', items: preparations(told) }]),
    cautions(told, null),
    quietAnswer(told),
  ];
}

function keepFreeWords(told: Told): string {
  return `Keep free the day before${dueWords(told) || ' the cold'}.`;
}

function mayChangeWords(told: Told): string {
  const { windowHours, callAheadHours } = told.facts;
  if (plannedTimeWords(told) !== null)
    return `It may still change, so nothing is asked for yet. Whoever needs more than ${callAheadHours} h to be ready begins now.`;
  return isWorkPlanned(told)
    ? 'It may still change. If it takes work, another message says so, with a time to start by.'
    : `It may still change: that is beyond the ${windowHours} h for which advice is given. If it does not, advice with a time to start by follows.`;
}

/** As far ahead as people want to be told; the chance within the window is no measure of what lies beyond. */
function aheadWords({ facts }: Told): string {
  const { chanceAhead, chances } = facts;
  if (chanceAhead === undefined || chances === null) return 'Likely, but too far ahead for advice.';
  const { resolution } = chances;
  if (isSingle(resolution)) return 'By a single forecast, which does not say how sure it is.';
  return `${capital(likelihood(chanceAhead))}, ${chanceText(chanceAhead, resolution)} chance of damage if left as it is.`;
}

function preparations({ facts, reader }: Told): readonly string[] {
  return [
    `Have at hand: wrench and seal for the heater plug; ${antifreezeNeeds(facts).join(', ')}${airToo(facts)}.`,
    ...(facts.hasHeat ? [`Check ${reader.words.gas}, battery and furnace.`] : []),
    ...(facts.hasHose ? ['Plan to fill the fresh tank before the hose comes off.'] : []),
  ];
}

/** Where nobody has said that there is no compressor. */
function airToo({ route }: Told['facts']): string {
  if (route?.compressor === false) return '';
  const air = `a compressor with a regulator and a plug for the city inlet, and ${gallonsText(route?.airGallons ?? 1)} of antifreeze for traps, toilets and pump`;
  return route?.compressor === true ? `. Or, with air: ${air}` : `. Or, if there is a compressor: ${air}`;
}

function dueWords(told: Told): string {
  const due = troubleAt(told);
  return due === null ? '' : ` ${nearForReader(due, told)}`;
}

export function fillAgainOutline(told: Told): readonly (Section | null)[] {
  return [
    suspectNote(told),
    pointSection(told, {
      before: [{ label: 'By when', value: 'There is no hurry.' }],
      sure: sureWords(told),
      why: `${spellWords(told)}. Nothing in the forecast calls for keeping this unit dry; a late frost is still possible, and then you are told.`,
      ifNot: drainedBearsWords(told),
      else: 'Leave it dry until you want to use its water.',
    }),
    figures(told),
    cautions(told, 'refill'),
    howTo(told, 'refill'),
    filledAnswer(told),
    quietAnswer(told),
  ];
}

/** Dry is not safe from any cold: what a drain leaves in low places freezes, too. */
function drainedBearsWords({ facts: { drainedBears }, reader }: Told): string {
  const bears =
    drainedBears === undefined
      ? 'not hard cold'
      : `not ${formatTemperature(drainedBears.atC, reader.temperature)} or below for ${hoursWords(drainedBears.hours)} on end`;
  return `It stays drained. So it bears light frost, but ${bears}: what a drain leaves in low places can still freeze and split them, and sooner where it was drained quickly. If that is forecast, you are told.`;
}

export function allClearOutline(told: Told): readonly (Section | null)[] {
  const { facts } = told;
  const dry = isDry(facts.waterState);
  return [
    suspectNote(told),
    section('What now', [paragraph(stateWords(told))]),
    pointSection(told, {
      sure: sureWords(told),
      why: `${spellWords(told)}. Nothing in the next ${facts.windowHours} h calls for work on this unit as it stands.`,
      ifNot: 'It stays as it stands. More cold brings a new message.',
      else: dry
        ? 'Fill it again, if you want to use its water.'
        : 'Drain it all the same, if nobody uses it.',
    }),
    figures(told),
    cautions(told, dry ? 'refill' : null),
    dry ? filledAnswer(told) : null,
    quietAnswer(told),
  ];
}

function stateWords(told: Told): string {
  const { facts } = told;
  if (isDry(facts.waterState)) {
    return `Leave it so unless you want to use its water: the season may bring more cold, and filling it again is work. If you fill it, keep the heater off until water runs at the hot ${told.reader.words.faucet}.`;
  }
  // Back from no forecast it may still be in danger once it is full of water.
  const hose = facts.hasHose && told.notice.kind === 'all-clear' ? ' The hose may go back on.' : '';
  return `It may go on as it is.${hose}`;
}

function isDry(waterState: string): boolean {
  return /\b(drained|winterized)\b/.test(waterState);
}
