import { formatLocalDate } from '../quantity/local-time.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Notice } from '../decision/memory.ts';
import { isQuiet, type Lead, type Told } from './body.ts';
import { isWorkPlanned, plannedWords } from './planned.ts';
import {
  circuitsOf,
  inReaderZone,
  isHoseTaken,
  methodOf,
  nearForReader,
  troubleAt,
  workOf,
} from './times.ts';
import { listed, minutesWords, orderWords, uncapital } from './words.ts';

/** The first line of a message: what is to be done, to which unit, and by when, in the reader's zone. */
export function leadOf(told: Told): Lead {
  const lead = plainLead(told);
  if (told.notice.forecastBack !== true) return lead;
  if (isQuiet(told.notice)) return backLead(told);
  return { ...lead, rest: `The forecast is back. ${lead.rest}` };
}

/** Nothing is to be done: that the forecast is back is all the news. */
function backLead(told: Told): Lead {
  const { facts, notice } = told;
  const planned = plannedWords(told);
  const isAhead = notice.kind === 'heads-up' && planned !== null;
  const watched = isAhead
    ? `Nothing to do yet. By it the work will be: ${planned}`
    : 'No work is asked for now; it is being watched again.';
  const rest = notice.kind === 'all-clear' ? standsWords(told) : watched;
  return { headline: `The forecast for ${facts.unit.label} is back.`, rest };
}

function plainLead(told: Told): Lead {
  const label = told.facts.unit.label;
  switch (told.notice.kind) {
    case 'act':
      return { headline: `${order(told)}.`, rest: startWords(told) };
    case 'last-call':
      return { headline: `Last call: ${uncapital(order(told))}.`, rest: startWords(told) };
    case 'worse':
      return { headline: `It got worse: ${uncapital(order(told))}.`, rest: startWords(told) };
    case 'late':
      return { headline: `Late: ${uncapital(order(told))} now.`, rest: passedWords(told) };
    case 'frozen':
      return {
        headline: `${label} may have frozen: do not pressurise it.`,
        rest: 'Supply off, pump off, heater element off, now.',
      };
    case 'all-clear':
      return { headline: `All clear for ${label}: this cold is over.`, rest: standsWords(told) };
    case 'no-forecast':
      return { headline: `No forecast for ${label}: unknown is not safe.`, rest: lastLowWords(told) };
    case 'heads-up':
      return { headline: headsUpWords(told), rest: notYetWords(told) };
    case 'fill-again':
      return { headline: `${label} may be filled again.`, rest: '' };
    case 'fill-by':
      return { headline: `Fill the fresh tank of ${label}.`, rest: startWords(told) };
    case 'dump-by':
      return { headline: `Dump the tanks of ${label}.`, rest: startWords(told) };
    case 'unreached':
      return {
        headline: `${unreachedNames(told)} could not be reached about ${label}.`,
        rest: 'Tell them another way, or do it yourself.',
      };
  }
}

function unreachedNames({ facts }: Told): string {
  const names = (facts.unreached ?? []).map(({ name }) => name);
  return names.length === 0 ? 'Somebody' : listed(names);
}

function order(told: Told): string {
  const { facts, notice } = told;
  return orderWords(notice.action, {
    label: facts.unit.label,
    method: methodOf(told),
    hasHose: isHoseTaken(facts),
    circuits: circuitsOf(told),
  });
}

/** Advice to leave it as it is: whatever can still be done, the chance stays. */
export function isWorkless({ kind, action, startBy }: Pick<Notice, 'kind' | 'action' | 'startBy'>): boolean {
  return action === 'nothing' && startBy === null && kind !== 'fill-by' && kind !== 'dump-by';
}

function startWords(told: Told): string {
  if (isWorkless(told.notice)) return 'No work helps now: supply off and pump off, so that nothing floods.';
  const minutes = workOf(told);
  const work = minutes === null ? '' : `, work ${minutesWords(minutes)}`;
  const startBy = told.notice.startBy;
  const start = startBy === null ? 'Start as soon as you can' : `Start by ${inReaderZone(startBy, told)}`;
  return `${start}${work}.${refillWords(told)}`;
}

/** Heat that runs out is no heat. */
function refillWords(told: Told): string {
  const { notice, facts, reader } = told;
  const until = facts.heatLasts.gasUntil;
  if (notice.action !== 'keep-warm' || until === null) return '';
  return ` Have the ${reader.words.gas} refilled before ${nearForReader(until, told)}.`;
}

function passedWords(told: Told): string {
  const startBy = told.notice.startBy;
  const passed =
    startBy === null
      ? 'The time to start by has passed.'
      : `The time to start by, ${inReaderZone(startBy, told)}, has passed.`;
  return `${passed} Do what still helps, in the order below.`;
}

function lastLowWords(told: Told): string {
  const known = told.facts.lastKnown;
  if (known === null) return 'No earlier low is known either: take it that it will freeze.';
  const low = formatTemperature(known.lowestOutsideC, told.reader.temperature);
  const then = known.lowestOutsideC > 0 ? 'that is old, so look at another forecast now' : 'act on it';
  return `The last known low is ${low}, on ${inReaderZone(known.lowestAt, told)}: ${then}.`;
}

function standsWords(told: Told): string {
  const { facts } = told;
  if (facts.suspect || facts.alreadyDamaged) return 'It may have frozen all the same: have it checked first.';
  return `It stands as: ${facts.waterState}.`;
}

function notYetWords(told: Told): string {
  const planned = plannedWords(told);
  const yet = told.facts.tripped === null ? 'Nothing to do yet' : 'Nothing to do yet but to switch loads off';
  if (planned === null && isWorkPlanned(told)) return `${yet}.`;
  if (planned === null) return 'No advice yet: it is too far ahead for that.';
  return `${yet}. By this forecast the work will be: ${planned}`;
}

function headsUpWords(told: Told): string {
  const at = troubleAt(told);
  const when = at === null ? '' : ` about ${formatLocalDate(at, told.reader.timeZone)}`;
  return `Heads-up for ${told.facts.unit.label}: damaging cold is likely${when}.`;
}
