/** Who is told of a unit: its own contacts and those who look after its place, after what they answered. */
import type { Config, UnitConfig } from '../config/config.ts';
import type { Contact } from '../decision/finding.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { KeptAnswer } from '../store/kept-answers.ts';
import type { UnitRecord } from '../store/store.ts';

type Answers = readonly KeptAnswer[];

/** The clocks of two machines differ; by more than this, one was wrong, and what it dated does not hold. */
const CLOCK_SLACK_S = HOUR_S;

/** Whoever says these takes silence back. */
const BACK_IN_TOUCH: readonly string[] = ['in-use', 'kept-warm', 'on-my-way'];

/** After these nobody is on the way any more. */
const DONE: readonly string[] = ['in-use', 'drained', 'winterized', 'kept-warm', 'checked'];

/**
 * Its own contacts, and those who look after its place, in the order of the config; whoever is both is told as an owner,
 * once.
 */
export function contactsOf(
  { people, places }: Config,
  unit: UnitConfig,
  { record, now }: { readonly record: Pick<UnitRecord, 'answers'>; readonly now: EpochSeconds },
): readonly Contact[] {
  const answers = record.answers ?? [];
  const managers = places.find(({ id }) => id === unit.place)?.managers ?? [];
  return people
    .filter(({ id }) => unit.contacts.includes(id) || managers.includes(id))
    .filter(({ id }) => !isNotTheirs(answers, id, now))
    .map(({ id, headsUpHours }) => ({
      person: id,
      headsUpHours,
      role: unit.contacts.includes(id) ? 'owner' : 'manager',
      ...given('silentUntil', silentUntil(answers, id, now)),
      ...given('onTheWayUntil', onTheWayUntil(answers, id, now)),
    }));
}

/** It has contacts, and each of them said that it is not theirs. */
export function nobodyIsTold({ contacts }: UnitConfig, answers: Answers, now: EpochSeconds): boolean {
  return contacts.length > 0 && contacts.every((person) => isNotTheirs(answers, person, now));
}

/** Until anything else is said of the unit by the same person, or the config names them anew. */
export function isNotTheirs(answers: Answers, person: string, now: EpochSeconds): boolean {
  const last = ofPerson(answers, person, now).at(-1);
  return last?.answer === 'not-mine' && last.endedAt === null;
}

/** Null: they asked for none. */
export function silentUntil(answers: Answers, person: string, now: EpochSeconds): EpochSeconds | null {
  const own = ofPerson(answers, person, now);
  const stop = own.findLast(({ answer }) => answer === 'stop');
  if (stop === undefined || stop.endedAt !== null) return null;
  if (stop.until === null || stop.until <= now) return null;
  return own.some(({ id, answer }) => id > stop.id && BACK_IN_TOUCH.includes(answer)) ? null : stop.until;
}

/** Null: they are not. */
export function onTheWayUntil(answers: Answers, person: string, now: EpochSeconds): EpochSeconds | null {
  const way = ofPerson(answers, person, now).findLast(({ answer }) => answer === 'on-my-way');
  const until = way?.until ?? null;
  if (way === undefined || until === null || until <= now) return null;
  const isDone = answers.some(({ id, answer }) => id > way.id && DONE.includes(answer));
  return isDone || isNotTheirs(answers, person, now) ? null : until;
}

/** Ids of what people said of units whose contacts they no longer are: named anew, they are asked anew. */
export function outdated(
  { units }: Config,
  records: ReadonlyMap<string, UnitRecord>,
): { readonly ids: readonly number[]; readonly units: readonly string[] } {
  const gone = units.flatMap(({ id, contacts }) =>
    (records.get(id)?.answers ?? []).filter(
      ({ answer, person, endedAt }) =>
        (answer === 'not-mine' || answer === 'stop') &&
        endedAt === null &&
        person !== null &&
        !contacts.includes(person),
    ),
  );
  return { ids: gone.map(({ id }) => id), units: [...new Set(gone.map(({ unit }) => unit))] };
}

function ofPerson(answers: Answers, person: string, now: EpochSeconds): Answers {
  return answers.filter((a) => a.person === person && a.recordedAt <= now + CLOCK_SLACK_S);
}

function given<K extends string>(key: K, value: EpochSeconds | null): { [key in K]?: EpochSeconds } {
  return value === null ? {} : ({ [key]: value } as { [key in K]: EpochSeconds });
}
