import type { Action, Method } from '../decision/advice.ts';
import { HOUR_S } from '../quantity/instant.ts';
import { formatLocal, sameClock, zoneAbbreviation } from '../quantity/local-time.ts';
import { formatDegreeHours, formatTemperature } from '../quantity/temperature.ts';
import { paragraph, section } from './body.ts';
import type { Block, Row, Section, Told } from './body.ts';
import { cautionsFor } from './cautions.ts';
import type { SpellFacts } from './message.ts';
import type { Job, Procedure } from './procedure.ts';
import { coldWords, reasonText } from './reason.ts';
import { circuitsOf, inReaderZone, methodOf, nearForReader } from './times.ts';
import { stepsFor } from './steps.ts';
import { capital, holdOutWords, marksWords, shortGasWords, zoneWords } from './words.ts';

/** More spells than this are a list nobody reads. */
const SPELLS_SHOWN = 5;

/** The figures of the message, below its first line. */
export function figures(told: Told, rows: readonly Row[]): Section | null {
  const { facts } = told;
  const where = [
    { label: 'Place', value: facts.place.label },
    { label: 'Water', value: facts.waterState || 'unknown, taken as in use' },
  ];
  return section(null, [{ kind: 'rows', rows: [...rows, ...where] }]);
}

/** The start-by time at the place, where its clocks differ from the reader's; the first line has the reader's. */
export function placeTimeRows(told: Told): readonly Row[] {
  const { facts, notice, reader } = told;
  const startBy = notice.startBy;
  if (startBy === null || sameClock(startBy, reader.timeZone, facts.place.timeZone)) return [];
  return [
    { label: 'Start by, your time', value: formatLocal(startBy, reader.timeZone) },
    { label: 'Start by, at the place', value: formatLocal(startBy, facts.place.timeZone) },
  ];
}

/** What the cold does and how long the unit stands it. */
export function dangerRows(told: Told): readonly Row[] {
  const { facts } = told;
  const rows: Row[] = [];
  if (facts.firstDamageAt !== null) {
    const part = facts.firstPart === null ? '' : `, ${facts.firstPart}`;
    rows.push({ label: 'Freezes first', value: `about ${nearForReader(facts.firstDamageAt, told)}${part}` });
  }
  return [...lowRows(told), ...rows, ...heatRows(told)];
}

/** How long heat lasts, and how long the unit does without it. */
function heatRows(told: Told): readonly Row[] {
  const { facts, reader } = told;
  if (!facts.hasHeat) return [];
  const { gasUntil, gasShortFrom, batteryUntil } = facts.heatLasts;
  const rows: Row[] = [];
  if (gasUntil !== null) {
    const value = `lasts until ${nearForReader(gasUntil, told)}; have it refilled before`;
    rows.push({ label: `${capital(reader.words.gas)} on board`, value });
  }
  if (gasShortFrom !== null) {
    const value = shortGasWords(nearForReader(gasShortFrom, told));
    rows.push({ label: `${capital(reader.words.gas)} in the cold`, value });
  }
  if (batteryUntil !== null) {
    const value = `runs the furnace until ${nearForReader(batteryUntil, told)}; have it charged before`;
    rows.push({ label: 'Battery', value });
  }
  return [...rows, ...stopRows(told)];
}

/** What cannot run on without power stops with it: then both are one. */
function stopRows({ facts: { holdOutHours, holdOutPart, powerCut } }: Told): readonly Row[] {
  const heat = holdOutHours === null ? null : lossWords(holdOutHours, holdOutPart);
  const cutHours = powerCut?.hours ?? null;
  const power = cutHours === null ? null : lossWords(cutHours, powerCut?.part ?? null);
  if (heat !== null && heat === power) return [{ label: 'If heat or power stops', value: heat }];
  return [
    ...(heat === null ? [] : [{ label: 'If the heat stops', value: heat }]),
    ...(power === null ? [] : [{ label: 'If the power fails', value: power }]),
  ];
}

function lossWords(hours: number, part: string | null): string {
  const first = part === null ? '' : `, then the ${part}`;
  return `holds out ${holdOutWords(hours)} at worst${first}`;
}

export function lowRows(told: Told): readonly Row[] {
  const lowest = told.facts.lowestOutside;
  if (lowest === null) return [];
  const low = formatTemperature(lowest.temperatureC, told.reader.temperature);
  return [{ label: 'Lowest outside', value: `${low}, ${nearForReader(lowest.at, told)}` }];
}

export function why(told: Told): Section | null {
  const { facts, reader } = told;
  const reason =
    facts.advice === null ? `${coldWords(facts, reader)}.` : reasonText(facts.advice, facts, reader);
  return section('Why', [paragraph(reason), ...spellBlocks(told)]);
}

export function spellBlocks(told: Told): readonly Block[] {
  const { spells } = told.facts;
  const shown = spells.slice(0, SPELLS_SHOWN).map((spell) => spellWords(spell, told));
  const more = spells.length - shown.length;
  return [
    paragraph(spells.length === 0 ? '' : 'Cold spells ahead, on the middle course of the forecast:'),
    { kind: 'list', items: more > 0 ? [...shown, `and ${more} more after these`] : shown },
  ];
}

function spellWords(spell: SpellFacts, told: Told): string {
  const unit = told.reader.temperature;
  const hours = Math.round(spell.longestHoursAtOrBelowMinus4C);
  const long = hours === 0 ? '' : `, ${hours} h at or below ${formatTemperature(-4, unit)}`;
  const span = `${nearForReader(spell.start, told)} to ${nearForReader(spell.end, told)}`;
  const low = `lowest ${formatTemperature(spell.minimumC, unit)}`;
  return `${span} ${zoneWords(spell.zone)}: ${low}, ${formatDegreeHours(spell.degreeHours, unit)}${long}`;
}

function how(procedure: Procedure): Section | null {
  return section(procedure.title, [
    paragraph(procedure.time),
    paragraph(procedure.needs.length === 0 ? '' : 'You need:'),
    { kind: 'list', items: procedure.needs },
    paragraph(procedure.needs.length === 0 ? '' : 'Steps:'),
    { kind: 'steps', items: procedure.steps },
  ]);
}

/** The steps of a job for this unit; null where there is nothing to do. */
export function howTo(told: Told, job: Job | null): Section | null {
  return job === null ? null : how(stepsFor(job, told.facts, told.reader));
}

interface Answer {
  readonly heading: string;
  /** STATE and options of each `drainby mark`. */
  readonly states: readonly string[];
  /** What makes the answer more exact; empty: nothing. */
  readonly hint: string;
}

/** How to tell the program what was done. */
function answer(told: Told, { heading, states, hint }: Answer): Section | null {
  return section(heading, [
    paragraph('Say so, and the next computation starts from it (FILE is your config file):'),
    ...states.map(
      (state) => ({ kind: 'command', text: `drainby mark -c FILE ${told.facts.unit.id} ${state}` }) as const,
    ),
    paragraph(hint),
  ]);
}

/** The answer to a unit that was filled again. */
export function filledAnswer(told: Told): Section | null {
  return answer(told, { heading: 'When it is filled again', states: ['in-use'], hint: '' });
}

export function actionAnswer(told: Told): Section | null {
  const action = told.notice.action;
  if (action === 'nothing') return null;
  const method = methodOf(told);
  return answer(told, {
    heading: 'When it is done',
    states: marksWords(action, method, circuitsOf(told)),
    hint: hintOf(action, method),
  });
}

function hintOf(action: Action, method: Method | null): string {
  if (action === 'drain') {
    return 'Add --quality well only if filter bowl, strainer, flush line, city inlet and the appliances were emptied too.';
  }
  if (action === 'winterize' && method !== 'air') {
    return 'Add --concentration with the per cent you measured at the last outlet, if you did, and --fluid ethanol for alcohol-based fluid.';
  }
  if (action === 'winterize') return 'Leave --traps out if no antifreeze went into traps, toilets and pump.';
  return '';
}

export function suspectNote(told: Told): Section | null {
  if (!told.facts.suspect && !told.facts.alreadyDamaged) return null;
  return section('It may already have frozen', [
    paragraph(
      'Do not pressurise it: supply off, pump off, heater element off. Warm it slowly, without a flame, look for splits and drips, and only then go on.',
    ),
    paragraph('It stays under suspicion until a person has looked and says so:'),
    { kind: 'command', text: `drainby mark -c FILE ${told.facts.unit.id} checked` },
  ]);
}

/** How to lift the suspicion that a unit has frozen. */
export function checkedAnswer(told: Told): Section | null {
  return section('When somebody has looked', [
    paragraph('It stays under suspicion until a person has checked it and says so:'),
    { kind: 'command', text: `drainby mark -c FILE ${told.facts.unit.id} checked` },
  ]);
}

/** Circuits whose work has to do with the water heater. */
const HEATED: readonly string[] = ['heater', 'hot'];

export function cautions(told: Told, job: Job | null): Section | null {
  const { facts, reader } = told;
  const circuits = circuitsOf(told);
  const heater = circuits === null || circuits.some((circuit) => HEATED.includes(circuit));
  const general = cautionsFor(job, { ...reader, heater });
  return section('Cautions', [{ kind: 'list', items: [...general, ...facts.fluidCautions] }]);
}

export function assumed(told: Told): Section | null {
  return section('What was assumed', [{ kind: 'list', items: told.facts.assumptions }]);
}

/** Which forecast it is and how old: nobody should act on yesterday's without knowing it. */
function ageWords(told: Told): string {
  const { forecast, asOf } = told.facts;
  if (forecast === null) return '';
  const { source, issuedAt, fetchedAt } = forecast;
  const [verb, at] = issuedAt === null ? ['fetched', fetchedAt] : ['issued', issuedAt];
  const hours = Math.max(0, Math.floor((asOf - at) / HOUR_S));
  const age = hours === 0 ? 'less than an hour old' : `${hours} h old`;
  return `The forecast of ${source} was ${verb} ${inReaderZone(at, told)} and is ${age}. `;
}

export function sources(told: Told): Section | null {
  const { facts, reader } = told;
  const zone = `Times are in ${reader.timeZone} (${zoneAbbreviation(facts.asOf, reader.timeZone)} now)`;
  const other = sameClock(facts.asOf, reader.timeZone, facts.place.timeZone)
    ? ''
    : `; at the place it is then ${formatLocal(facts.asOf, facts.place.timeZone)}`;
  const computed = `Computed ${inReaderZone(facts.asOf, told)}${other}.`;
  return section('Where this comes from', [
    { kind: 'list', items: facts.attributions },
    paragraph(
      `${ageWords(told)}${computed} ${zone}. What the cold does to a parked ${reader.words.trailer} or motorhome is computed from public forecasts and engineering estimates: it can be wrong, and a look at the unit beats it.`,
    ),
  ]);
}
