/** One unit in a manager's list of many. */
import type { Told } from './body.ts';
import { isQuiet } from './body.ts';
import type { ListLine, Unreached } from './message.ts';
import { formatLocal } from '../quantity/local-time.ts';
import { plannedShort } from './planned.ts';
import { dataWords } from './points.ts';
import { sureShort } from './sure.ts';
import { circuitsOf, methodOf, nearForReader, workOf } from './times.ts';
import { onlyWords } from './circuits.ts';
import { actionWords, capital, listed, minutesWords } from './words.ts';

export function lineOf(told: Told): ListLine {
  const { facts, notice, reader } = told;
  const { startBy } = notice;
  return {
    label: facts.unit.label,
    what: whatWords(told),
    startBy,
    because: becauseWords(told),
    place: facts.place.label,
    data: dataWords(told),
    stands: standsWords(told),
    ...(facts.unreached === undefined ? {} : { unreached: namesOf(facts.unreached) }),
    ...(startBy === null ? {} : { by: formatLocal(startBy, reader.timeZone) }),
  };
}

function whatWords(told: Told): string {
  const { notice } = told;
  if (notice.forecastBack === true && isQuiet(notice)) return 'forecast is back';
  switch (notice.kind) {
    case 'act':
    case 'worse':
      return workWords(told);
    case 'unreached':
      return `${unreachedWords(told)}: ${workWords(told)}`;
    case 'last-call':
      return `last call: ${workWords(told)}`;
    case 'late':
      return `late: ${workWords(told)} now`;
    case 'frozen':
      return 'may have frozen: do not pressurise';
    case 'all-clear':
      return 'all clear';
    case 'no-forecast':
      return notice.action === 'nothing' ? 'no forecast' : `no forecast: ${workWords(told)} all the same`;
    case 'heads-up':
      return `heads-up: cold likely, no work yet${laterWords(told)}`;
    case 'fill-again':
      return 'may be filled again';
    case 'fill-by':
      return 'fill the fresh tank';
    case 'dump-by':
      return 'dump the tanks';
  }
}

function laterWords(told: Told): string {
  const planned = plannedShort(told);
  return planned === null ? '' : `; then ${planned}`;
}

function workWords(told: Told): string {
  const circuits = circuitsOf(told);
  const only = circuits === null ? '' : ` ${onlyWords(circuits) ?? 'part of it'}`;
  return `${actionWords(told.notice.action, circuits === null ? methodOf(told) : null)}${only}`;
}

function namesOf(people: readonly Unreached[]): readonly string[] {
  return people.map(({ name }) => name);
}

function unreachedWords({ facts }: Told): string {
  const names = namesOf(facts.unreached ?? []);
  return names.length === 0 ? 'somebody not reached' : `${listed(names)} not reached`;
}

/** `About 45 min of work; in use; Ann Example; id blue.` The commands know a unit by its id. */
function standsWords(told: Told): string {
  const { facts, notice } = told;
  const minutes = notice.action === 'nothing' ? null : workOf(told);
  const words = [
    minutes === null ? '' : `about ${minutesWords(minutes)} of work`,
    facts.suspect ? 'may have frozen' : facts.waterState,
    listed(facts.owners ?? []),
    `id ${facts.unit.id}`,
  ].filter((one) => one !== '');
  return `${capital(words.join('; '))}.`;
}

function becauseWords(told: Told): string {
  const { facts, notice } = told;
  const isOver = notice.kind === 'all-clear' || notice.kind === 'fill-again';
  const first =
    isOver || facts.firstPart === null || facts.firstDamageAt === null
      ? ''
      : `${facts.firstPart} first, about ${nearForReader(facts.firstDamageAt, told)}`;
  const sure = sureShort(told);
  const words = [sure === '' ? '' : `${sure} if left`, first].filter((one) => one !== '').join('; ');
  return words === '' ? '' : `${capital(words)}.`;
}
