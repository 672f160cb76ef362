/** From evaluated units to what is written and sent: the pure end of the pipeline. */
import type { Config, PersonConfig } from '../config/config.ts';
import { withoutFuture, type AddressedNotice, type Memory } from '../decision/memory.ts';
import type { Contact } from '../decision/finding.ts';
import { tell } from '../decision/tell.ts';
import { tellService, type ServiceTold } from '../decision/tell-service.ts';
import type { OutgoingMessage, UnitFacts } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry, UnitCommit, UnreachedPerson } from '../store/store.ts';
import { contactsOf } from './contacts.ts';
import { extraFacts, PlaceCourses, type ToldAt } from './course-facts.ts';
import type { Evaluation, UnitEvaluation } from './evaluate.ts';
import { unitFacts } from './facts.ts';
import { findingOf } from './finding.ts';
import { entries, readersOf } from './saying.ts';
import { serviceOf } from './service.ts';
import { stateEntries, unitFigures } from './state-entries.ts';
import { remembered, unreachedNotices } from './unreached.ts';

/** What a round learned of one unit, and what it has to say that is new. */
export interface UnitNews extends UnitCommit {
  /** Without what was said before and is only offered again. */
  readonly messages: readonly OutgoingMessage[];
}

/** @param unreached who of those told before was not reached */
export function unitCommits(
  config: Config,
  { units, now }: Evaluation,
  unreached: readonly UnreachedPerson[],
): UnitNews[] {
  const courses = new PlaceCourses();
  return units.map((evaluated) => unitCommit(evaluated, { config, courses, now, unreached }));
}

interface Round extends ToldAt {
  readonly unreached: readonly UnreachedPerson[];
}

function unitCommit(evaluated: UnitEvaluation, at: Round): UnitNews {
  const { record, unit } = evaluated;
  const { config, now } = at;
  const { memory, notices, standing, missed } = said(evaluated, at);
  // Messages speak of the unit as it is remembered after this round.
  const current = { ...evaluated, record: { ...record, memory } };
  const spoken = notices.length + standing.length + missed.length > 0;
  const contacts = contactsOf(config, unit, { record, now });
  const facts: UnitFacts = {
    ...unitFacts(config, current, now),
    ...(spoken ? extraFacts(evaluated, at) : {}),
    // The message that ends an episode still belongs to it.
    episode: memory.episode ?? record.memory.episode,
    owners: ownersOf(config, contacts),
  };
  const figures = unitFigures(current);
  const isOwner = (person: PersonConfig): boolean =>
    contacts.some(({ person: id, role }) => id === person.id && role !== 'manager');
  const addressed = (all: readonly AddressedNotice[]): OutboxEntry[] =>
    all.flatMap((notice) =>
      readersOf(config, notice).flatMap((person) =>
        entries(config, person, { notice, facts, figures, now, gathers: !isOwner(person) }),
      ),
    );
  const ofMissed = missed.flatMap(({ about, ...notice }) => {
    const of = { notice, facts: { ...facts, unreached: [about] }, figures, now, gathers: true };
    return readersOf(config, notice).flatMap((person) => entries(config, person, of));
  });
  const news = [...addressed(notices), ...ofMissed];
  return {
    unit: unit.id,
    expectedVersion: record.version,
    memory,
    outbox: [...news, ...addressed(standing), ...stateEntries(config, current, now)],
    messages: news.map((entry) => entry.message),
  };
}

function ownersOf({ people }: Config, contacts: readonly Contact[]): readonly string[] {
  const ids = contacts.filter(({ role }) => role !== 'manager').map(({ person }) => person);
  return people.filter(({ id }) => ids.includes(id)).map(({ name }) => name);
}

interface Said {
  readonly memory: Memory;
  readonly notices: readonly AddressedNotice[];
  readonly standing: readonly AddressedNotice[];
  /** Of people whom nothing reached, to those who look after the place. */
  readonly missed: ReturnType<typeof unreachedNotices>;
}

/** Of the cold, of the place's water service, and of who was not reached. */
function said(evaluated: UnitEvaluation, { config, now, unreached }: Round): Said {
  const { record, unit } = evaluated;
  const told = tell(findingOf(config, evaluated, now), record.memory);
  const missed = unreachedNotices({ config, unit, memory: told.memory, unreached, now });
  const after = remembered(told.memory, missed, now);
  const service = serviceTold(config, evaluated, now);
  const isTold = service.memory.length > 0 || after.service !== undefined;
  return {
    memory: isTold ? { ...after, service: service.memory } : after,
    notices: [...told.notices, ...service.notices],
    standing: [...told.standing, ...service.standing],
    missed,
  };
}

function serviceTold(config: Config, evaluated: UnitEvaluation, now: EpochSeconds): ServiceTold {
  const { unit, record } = evaluated;
  const due = serviceOf(config, evaluated, now)?.due ?? [];
  const contacts = contactsOf(config, unit, { record, now })
    .filter(({ role, silentUntil }) => role !== 'manager' && silentUntil === undefined)
    .map(({ person }) => person);
  const before = withoutFuture(record.memory, now).service ?? [];
  return tellService({ unit: unit.id, now, due, contacts }, before);
}
