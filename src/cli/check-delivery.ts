/** What the check answer says of messages that nobody got, as sentences. */
import type { CheckAnswer } from '../app/check-answer.ts';
import { oneLine } from '../message/plain.ts';
import { parseInstant } from '../quantity/instant.ts';
import { formatLocal } from '../quantity/local-time.ts';

type Delivery = NonNullable<CheckAnswer['delivery']>;
type Unreached = Delivery['unreached'][number];

/** As many units are named; of more only the number is said. */
const MOST_NAMED = 5;

export function deliveryWords(answer: CheckAnswer): readonly string[] {
  const { delivery } = answer;
  if (delivery === undefined) return [];
  const people = [...new Set(delivery.unreached.map(({ person }) => person))];
  const of = (person: string): readonly Unreached[] => delivery.unreached.filter((u) => u.person === person);
  return [
    ...people.map((person) => unreachedWords(of(person), answer)),
    ...(delivery.lost > 0 && people.length === 0 ? [lostWords(delivery.lost)] : []),
    ...(delivery.unreadable === undefined ? [] : [unreadableWords(delivery.unreadable)]),
    ...(delivery.retrying > 0 ? [retryingWords(delivery.retrying)] : []),
  ];
}

function unreachedWords(lost: readonly Unreached[], answer: CheckAnswer): string {
  const last = lost.toSorted((a, b) => b.at.localeCompare(a.at))[0];
  if (last === undefined) return '';
  const zone = zoneOf(last.unit, answer);
  const at = formatLocal(parseInstant(last.at) ?? Number.NaN, zone);
  const trying = last.trying ? ' It is still being tried.' : '';
  const error = last.error === null ? '' : ` What was said last: ${oneLine(last.error)}`;
  return `NOT TOLD: ${last.name} has heard nothing of ${unitWords(lost, answer)}, given up on ${at}.${error}${trying} Tell them another way.`;
}

function unitWords(lost: readonly Unreached[], { units }: CheckAnswer): string {
  const labels = lost.map(({ unit }) => units.find(({ id }) => id === unit)?.label ?? unit);
  const named = labels.slice(0, MOST_NAMED);
  const more = labels.length - named.length;
  return new Intl.ListFormat('en').format([...named, ...(more > 0 ? [`${more} more`] : [])]);
}

function zoneOf(unit: string, { units, places }: CheckAnswer): string {
  const place = units.find(({ id }) => id === unit)?.place;
  return places.find(({ id }) => id === place)?.timeZone ?? 'UTC';
}

function lostWords(lost: number): string {
  return `${lost === 1 ? 'One message was' : `${lost} messages were`} not delivered by one of the ways to its reader; the log says which.`;
}

function unreadableWords(count: number): string {
  return `The text of ${count === 1 ? 'one message' : `${count} messages`} that should go out cannot be read in the database: nobody is told by ${count === 1 ? 'it' : 'them'}. The database is damaged.`;
}

function retryingWords(retrying: number): string {
  return `${retrying === 1 ? 'One message' : `${retrying} messages`} could not be sent yet and will be tried again.`;
}
