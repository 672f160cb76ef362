/** From evaluated units to what is written and sent: the pure end of the pipeline. */
import type { Config, PersonConfig } from '../config/config.ts';
import { outsideAction } from '../decision/advice.ts';
import type { Finding } from '../decision/finding.ts';
import { withoutFuture, type AddressedNotice, type Memory, type Notice } from '../decision/memory.ts';
import { endOfQuiet } from '../decision/quiet-hours.ts';
import { tell } from '../decision/tell.ts';
import type { OutgoingMessage, Reader, UnitFacts } from '../message/message.ts';
import type { UnitFigures } from '../message/unit-state.ts';
import { renderMessage } from '../message/render.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry, UnitCommit, UnreachedPerson } from '../store/store.ts';
import { contactsOf } from './contacts.ts';
import { extraFacts, PlaceCourses, type ToldAt } from './course-facts.ts';
import type { Evaluation, UnitEvaluation } from './evaluate.ts';
import type { PlaceEvaluation } from './evaluate-place.ts';
import { unitFacts } from './facts.ts';
import { heldWater, standsDrained } from './held-water.ts';
import { coversWindow } from './reach.ts';
import { stateEntries, unitFigures } from './state-entries.ts';
import { remembered, unreachedNotices } from './unreached.ts';
import { waysOut } from './ways-out.ts';

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
  const { config, now, unreached } = at;
  const { memory: after, notices, standing } = tell(findingOf(config, evaluated, now), record.memory);
  const missed = unreachedNotices({ config, unit, memory: after, unreached, now });
  const memory = remembered(after, missed, now);
  // Messages speak of the unit as it is remembered after this round.
  const current = { ...evaluated, record: { ...record, memory } };
  const spoken = notices.length + standing.length + missed.length > 0;
  const facts: UnitFacts = {
    ...unitFacts(config, current, now),
    ...(spoken ? extraFacts(evaluated, at) : {}),
    // The message that ends an episode still belongs to it.
    episode: memory.episode ?? record.memory.episode,
  };
  const figures = unitFigures(current);
  const contacts = contactsOf(config, unit, { record, now });
  const isOwner = (person: PersonConfig): boolean =>
    contacts.some(({ person: id, role }) => id === person.id && role !== 'manager');
  const addressed = (all: readonly AddressedNotice[]): OutboxEntry[] =>
    all.flatMap((notice) =>
      readersOf(config, notice).flatMap((person) =>
        entries(config, person, { notice, facts, figures, now, gathers: !isOwner(person) }),
      ),
    );
  const told = missed.flatMap(({ about, ...notice }) => {
    const of = { notice, facts: { ...facts, unreached: [about] }, figures, now, gathers: true };
    return readersOf(config, notice).flatMap((person) => entries(config, person, of));
  });
  const news = [...addressed(notices), ...told];
  const states = stateEntries(config, current, now);
  return {
    unit: unit.id,
    expectedVersion: record.version,
    memory,
    outbox: [...news, ...addressed(standing), ...states],
    messages: news.map((entry) => entry.message),
  };
}

function findingOf(
  config: Config,
  { unit, assessment, record, place }: UnitEvaluation,
  now: EpochSeconds,
): Finding {
  const memory = withoutFuture(record.memory, now);
  const { water, waterAt } = heldWater(unit, record, now);
  const covered = place.outlook !== null && coversWindow(place.outlook, now, config.policy.windowHours);
  return {
    unit: unit.id,
    now,
    advice: assessment?.advice ?? null,
    relaxing: assessment?.relaxing ?? memory.relaxing,
    acted: memory.advice !== null && (waterAt ?? -Infinity) > memory.advice.since,
    // Hours that no forecast covers may hold anything: nothing is called over from them.
    chanceIfWet: covered ? (assessment?.chanceIfWet ?? 1) : 1,
    chanceAhead: assessment?.chanceAhead ?? 1,
    chanceIfWetAhead: covered ? (assessment?.chanceIfWetAhead ?? 1) : 1,
    standsDrained: standsDrained(unit.model, water),
    alreadyDamaged: assessment?.alreadyDamaged ?? false,
    checkedAt: record.checkedAt,
    deadlineAt: assessment?.firstDamage.deadlineAt ?? null,
    firstDamageAt: assessment?.firstDamage.median ?? assessment?.firstDamage.deadlineAt ?? null,
    lowest: lowestOf(assessment, place, now),
    blindTooLong: blindTooLong(config, { last: memory.lastKnown, place }, now),
    policy: { ...unit.policy, tolerance: assessment?.tolerance ?? unit.policy.tolerance },
    contacts: contactsOf(config, unit, { record, now }),
  };
}

function lowestOf(
  assessment: UnitEvaluation['assessment'],
  { outlook }: PlaceEvaluation,
  now: EpochSeconds,
): Finding['lowest'] {
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  if (outside === undefined || outlook === null) return null;
  const madeAt = Math.min(now, outlook.issuedAt ?? outlook.fetchedAt);
  return { temperatureC: outside.minimumC, at: outside.minimumAt, madeAt };
}

/** A hiccup of the service is no news; silence beyond the age limit of its last answer is. */
function blindTooLong(
  config: Config,
  { last, place }: Pick<UnitEvaluation, 'place'> & { readonly last: Memory['lastKnown'] },
  now: EpochSeconds,
): boolean {
  if (last === null) return true;
  const limits = config.weather.sources
    .filter((s) => place.place.sources.includes(s.id))
    .map((s) => s.staleAfterHours ?? 0);
  return now - last.asOf >= Math.max(0, ...limits) * HOUR_S;
}

interface Saying {
  readonly notice: Notice;
  readonly facts: UnitFacts;
  readonly figures: UnitFigures;
  readonly now: EpochSeconds;
  /** The reader gets it in one message with others. */
  readonly gathers: boolean;
}

function readersOf({ people }: Config, { to }: AddressedNotice): PersonConfig[] {
  return people.filter((p) => to.includes(p.id));
}

function entries(
  config: Config,
  person: PersonConfig,
  { notice, facts, figures, now, gathers }: Saying,
): OutboxEntry[] {
  const reader: Reader = {
    id: person.id,
    name: person.name,
    temperature: person.temperature,
    timeZone: person.timeZone,
    words: person.words,
    linked: config.web !== null,
  };
  const message: OutgoingMessage = {
    messageId: messageId(config, notice, person.id),
    kind: notice.kind,
    unit: facts.unit.id,
    ...outsideAction(notice.action),
    ...workOf(notice, facts),
    startBy: notice.startBy,
    cause: facts.advice?.reasonCode ?? 'no-forecast',
    to: { id: person.id, name: person.name, email: person.email, text: person.text },
    createdAt: now,
    place: facts.place.id,
    episode: notice.episode,
    useBefore: notice.useBefore,
    figures,
    ...renderMessage(notice, facts, reader),
  };
  const quietEnd =
    notice.canWait && person.quiet !== null ? endOfQuiet(person.quiet, person.timeZone, now) : now;
  // What would be too late after the quiet hours does not wait for their end.
  const notBefore = quietEnd < notice.useBefore ? quietEnd : now;
  const { episode, useBefore, canWait } = notice;
  return waysOut(person, { episode, useBefore, canWait, notBefore, message, gathers });
}

/** What the advice asks in particular, where it is the one that is told. */
function workOf({ action }: Notice, { advice }: UnitFacts): Pick<OutgoingMessage, 'circuits' | 'measures'> {
  if (advice === null || advice.action !== action) return {};
  const { circuits, measures } = advice;
  return {
    ...(circuits === undefined ? {} : { circuits }),
    ...(measures === undefined ? {} : { measures }),
  };
}

/** The same for the same news, however often it is sent and by whichever process. */
function messageId(config: Config, notice: Notice, person: string): string {
  const domain = /@([A-Za-z0-9.-]+)/.exec(config.delivery.email?.from ?? '')?.[1] ?? 'drainby.invalid';
  const local = [notice.episode, notice.kind, notice.action, person]
    .join('.')
    .replaceAll(/[^A-Za-z0-9.-]/g, '');
  return `<${local}@${domain}>`;
}
