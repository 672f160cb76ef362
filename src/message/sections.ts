import { formatLocal, sameClock, zoneAbbreviation } from '../quantity/local-time.ts';
import { paragraph, section } from './body.ts';
import type { Row, Section, Told } from './body.ts';
import { cautionsFor } from './cautions.ts';
import { chanceText, isSingle } from './chance.ts';
import type { Job, Procedure } from './procedure.ts';
import { isJoined, throughLines } from './scope.ts';
import { circuitsOf, nearForReader } from './times.ts';
import { stepsFor } from './steps.ts';
import { loadWords } from './trip-words.ts';
import { capital, holdOutWords, shortGasWords } from './words.ts';

/** How long heat lasts, and which unit it is and where. */
export function figures(told: Told): Section | null {
  const { facts } = told;
  const where = [
    { label: 'Place', value: facts.place.label },
    { label: 'Water', value: facts.waterState || 'unknown, taken as in use' },
  ];
  return section(null, [{ kind: 'rows', rows: [...noWaterRows(told), ...heatRows(told), ...where] }]);
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

/** Where somebody lives in it, water that does not come is trouble, whether or not it breaks anything. */
function noWaterRows({ facts }: Told): readonly Row[] {
  const { unit, chanceOfNoWater, noWaterPart = null, chances, windowHours } = facts;
  const first = noWaterPart === null ? '' : `, first in the ${noWaterPart}`;
  if (!unit.attended || chanceOfNoWater === null || chanceOfNoWater === 0) return [];
  const chance = chanceText(chanceOfNoWater, chances?.resolution ?? 1);
  const value = isSingle(chances?.resolution ?? 1)
    ? noWaterSingle(chanceOfNoWater, first)
    : `${chance} chance that ice closes its way within ${windowHours} h, as it stands${first}`;
  return [{ label: 'Water at the taps', value }];
}

function noWaterSingle(chance: number, first: string): string {
  const closes = chance >= 0.5;
  return `by this single forecast ice ${closes ? 'closes' : 'does not close'} its way, as it stands${closes ? first : ''}`;
}

/** How long heat lasts, and how long the unit does without it. */
function heatRows(told: Told): readonly Row[] {
  const { facts } = told;
  if (!facts.hasHeat) return [];
  return [
    ...(facts.heatIsOn || told.notice.action === 'keep-warm' ? supplyRows(told) : []),
    ...stopRows(told),
  ];
}

function supplyRows(told: Told): readonly Row[] {
  const { facts, reader } = told;
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
  return rows;
}

/** What cannot run on without power stops with it: then both are one. */
function stopRows({ facts: { holdOutHours, holdOutPart, powerCut, heatFails } }: Told): readonly Row[] {
  // Hours of what the heat keeps would be comfort where it does not keep the rest.
  if (heatFails) return [{ label: 'Heat', value: 'does not keep all of it from freezing in this cold' }];
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

/** Comes before all else; who lifts the suspicion is said with the answers. */
export function suspectNote(told: Told): Section | null {
  if (!told.facts.suspect && !told.facts.alreadyDamaged) return null;
  return section('It may already have frozen', [
    paragraph(`Do not pressurise it: supply off, pump off, heater element off. ${thawWords(told)}`),
  ]);
}

/** Work round the ice does not wait for the thaw. */
function thawWords({ facts: { advice } }: Told): string {
  if (advice?.closed === undefined || advice.action === 'nothing')
    return 'Warm it slowly, without a flame, look for splits and drips, and only then go on.';
  return 'Do only what is asked below, without pressure. What ice closes is warmed slowly, without a flame, and looked over for splits and drips before it is used.';
}

/** Outside, ahead: common practice, no source. */
const HARD_COLD_C = -10;

export function cautions(told: Told, job: Job | null): Section | null {
  const { facts, reader } = told;
  const circuits = circuitsOf(told);
  const heater = circuits === null || meetsHeater(job, circuits);
  const hardCold = (facts.lowestOutside?.temperatureC ?? 0) <= HARD_COLD_C;
  const general = cautionsFor(job, { ...reader, heater, hardCold });
  return section('Cautions', [{ kind: 'list', items: [...general, ...facts.fluidCautions] }]);
}

/** What goes into any of the lines meets the water heater; drained, those that its water stands in do. */
function meetsHeater(job: Job | null, circuits: readonly string[]): boolean {
  return job === 'air' || job === 'antifreeze' ? throughLines(circuits).length > 0 : isJoined(circuits);
}

export function assumed(told: Told): Section | null {
  return section('What was assumed', [{ kind: 'list', items: told.facts.assumptions }]);
}

export function sources(told: Told): Section | null {
  const { facts, reader } = told;
  const zone = `Times are in ${reader.timeZone} (${zoneAbbreviation(facts.asOf, reader.timeZone)} now)`;
  const other = sameClock(facts.asOf, reader.timeZone, facts.place.timeZone)
    ? ''
    : `; at the place it is then ${formatLocal(facts.asOf, facts.place.timeZone)}`;
  return section('Where this comes from', [
    { kind: 'list', items: facts.attributions },
    paragraph(
      `${zone}${other}. What the cold does to a parked ${reader.words.trailer} or motorhome is computed from public forecasts and engineering estimates: it can be wrong, and a look at the unit beats it.`,
    ),
  ]);
}

/** The least work of all may be a switch: with the heat back, less may do than what is advised without it. */
export function shedRows({ facts: { tripped } }: Told): readonly Row[] {
  if (tripped === null) return [];
  const value = `Switch loads off until the post bears the rest (${loadWords(tripped)}), see that the heat is back, and say so under power and heat: the advice is then made anew.`;
  return [{ label: 'First', value }];
}
