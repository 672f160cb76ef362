/** The cold ahead and what the first part can take of it, as it is read on a thermometer: degree-hours come after. */
import { formatDegreeHours, formatTemperature } from '../quantity/temperature.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import type { Told } from './body.ts';
import type { LimitFacts } from './extra-facts.ts';
import type { SpellFacts } from './message.ts';
import { coldWords } from './reason.ts';
import { nearForReader, troubleAt } from './times.ts';
import { minutesWords, verb } from './words.ts';

/** Cold that hurts lines that were drained, and that thermometers without tenths show. */
const HARD_C = -4;
const NUMBERS = 'no one two three four five six seven eight nine ten eleven twelve'.split(' ');

/** `nine hours`, `an hour`, `31 hours` */
export function hoursWords(hours: number): string {
  const whole = Math.max(1, Math.round(hours));
  return whole === 1 ? 'an hour' : `${NUMBERS[whole] ?? whole} hours`;
}

/** `below 25 °F`, which is −4 °C; in whole °C it is `at −4 °C or below`. */
function hardWords(unit: TemperatureUnit): string {
  const shown = formatTemperature(HARD_C, unit);
  return unit === 'F' ? `below ${shown}` : `at ${shown} or below`;
}

/** The spell that does the harm, or else the coldest, without a full stop. */
export function spellWords(told: Told): string {
  const { facts, reader } = told;
  const spell = tellingSpell(told);
  if (spell === null) return coldWords(facts, reader);
  const unit = reader.temperature;
  const span = `${nearForReader(spell.start, told)} to ${nearForReader(spell.end, told)}`;
  const low = formatTemperature(spell.minimumC, unit);
  return `Cold from ${span}, down to ${low}: ${lengthWords(spell, unit)}${othersWords(told, spell)}`;
}

/** `below 25 °F for nine hours (41 °F·h below freezing)` */
function lengthWords(spell: SpellFacts, unit: TemperatureUnit): string {
  const hard = spell.longestHoursAtOrBelowMinus4C;
  const degreeHours = formatDegreeHours(spell.degreeHours, unit);
  return hard >= 0.5
    ? `${hardWords(unit)} for ${hoursWords(hard)} (${degreeHours} below freezing)`
    : `below freezing for ${hoursWords((spell.end - spell.start) / 3600)} (${degreeHours})`;
}

function othersWords(told: Told, shown: SpellFacts): string {
  const { spells, lowestOutside } = told.facts;
  const { reader } = told;
  const others = spells.length - 1;
  if (others === 0) return '';
  const more = `. ${others === 1 ? 'Another spell lies' : `${others} more spells lie`} ahead`;
  if (lowestOutside === null || lowestOutside.temperatureC >= shown.minimumC) return more;
  const low = formatTemperature(lowestOutside.temperatureC, reader.temperature);
  return `${more}, down to ${low} on ${nearForReader(lowestOutside.at, told)}`;
}

/** The last that has begun when the first part is lost. */
function tellingSpell(told: Told): SpellFacts | null {
  const { spells, firstDamageAt } = told.facts;
  const at = firstDamageAt ?? troubleAt(told) ?? -Infinity;
  const begun = spells.findLast((spell) => spell.start <= at);
  if (firstDamageAt !== null && begun !== undefined) return begun;
  return spells.toSorted((a, b) => a.minimumC - b.minimumC)[0] ?? null;
}

/** What the first part can take, as a sentence; empty where it is not known. */
export function limitWords({ facts, reader }: Told): string {
  const { firstPart, limit } = facts;
  if (firstPart === null || limit === undefined || limit === null) return '';
  return `The ${firstPart} ${verb(firstPart, 'goes', 'go')} first: ${takesWords(limit, firstPart, reader.temperature)}.`;
}

function takesWords(limit: LimitFacts, part: string, unit: TemperatureUnit): string {
  const it = verb(part, 'it', 'they');
  if (limit.kind === 'ice') {
    const minutes = (60 * limit.kelvinHours) / -HARD_C;
    const long = minutes < 180 ? `about ${minutesWords(roundedMinutes(minutes))}` : hoursWords(minutes / 60);
    const wind = limit.inWind ? ', less in wind' : '';
    return `${it} can take ${long} at ${formatTemperature(HARD_C, unit)} in still air${wind} (${formatDegreeHours(limit.kelvinHours, unit)})`;
  }
  const at = formatTemperature(limit.atC, unit);
  if (limit.hours <= 0) return `the antifreeze in ${verb(part, 'it', 'them')} bears no less than ${at}`;
  return `what is left in ${verb(part, 'it', 'them')} can take ${hoursWords(limit.hours)} at ${at}`;
}

/** No finer than anybody knows it. */
function roundedMinutes(minutes: number): number {
  if (minutes < 10) return Math.max(1, Math.round(minutes));
  return minutes < 60 ? 5 * Math.round(minutes / 5) : 15 * Math.round(minutes / 15);
}
