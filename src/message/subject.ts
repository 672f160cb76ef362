import { formatLocal, formatLocalDate } from '../quantity/local-time.ts';
import { isQuiet, type Told } from './body.ts';
import { oneLine, shortened } from './plain.ts';
import { circuitsOf, isHoseTaken, methodOf, troubleAt } from './times.ts';
import { orderWords, uncapital } from './words.ts';
import { isWorkless } from './lead.ts';

/** Longer labels are cut in the subject only; the body's first line has them whole. */
const LABEL_LENGTH = 60;

/** One printable line that can be understood without opening the mail. */
export function subjectOf(told: Told): string {
  return oneLine(subjectWords(told, shortened(told.facts.unit.label, LABEL_LENGTH)));
}

function subjectWords(told: Told, label: string): string {
  const order = orderWords(told.notice.action, {
    label,
    method: methodOf(told),
    hasHose: isHoseTaken(told.facts),
    circuits: circuitsOf(told),
  });
  if (told.notice.forecastBack === true && isQuiet(told.notice)) return `The forecast for ${label} is back`;
  switch (told.notice.kind) {
    case 'act':
      return `${order}${byWords(told)}`;
    case 'last-call':
      return `Last call: ${uncapital(order)}${byWords(told)}`;
    case 'worse':
      return `It got worse: ${uncapital(order)}${byWords(told)}`;
    case 'late':
      return `Late: ${uncapital(order)} now`;
    case 'frozen':
      return `${label} may have frozen: do not pressurise it`;
    case 'all-clear':
      return `All clear: ${label}`;
    case 'no-forecast':
      return `No forecast for ${label}: unknown is not safe`;
    case 'heads-up':
      return `Heads-up: ${label}, damaging cold likely${aboutWords(told)}`;
    case 'fill-again':
      return `${label} may be filled again`;
    case 'fill-by':
      return `Fill the fresh tank of ${label}${byWords(told)}`;
    case 'dump-by':
      return `Dump the tanks of ${label}${byWords(told)}`;
    case 'unreached':
      return `${label}: somebody could not be reached`;
  }
}

function byWords(told: Told): string {
  const { startBy, action, kind } = told.notice;
  if (isWorkless({ kind, action, startBy })) return ': no work helps now';
  return startBy === null
    ? ', as soon as you can'
    : `, start by ${formatLocal(startBy, told.reader.timeZone)}`;
}

function aboutWords(told: Told): string {
  const at = troubleAt(told);
  return at === null ? '' : ` about ${formatLocalDate(at, told.reader.timeZone)}`;
}
