/** From evaluated units to what is written and sent: the pure end of the pipeline. */
import type { Config, PersonConfig, UnitConfig } from '../config/config.ts';
import type { Notice } from '../decision/memory.ts';
import { endOfQuiet } from '../decision/quiet-hours.ts';
import { tell, type Finding } from '../decision/tell.ts';
import type { OutgoingMessage, Reader, UnitFacts } from '../message/message.ts';
import { renderMessage } from '../message/render.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry, UnitCommit } from '../store/store.ts';
import type { Evaluation, UnitEvaluation } from './evaluate.ts';
import { unitFacts } from './facts.ts';

export function unitCommits(config: Config, { units, now }: Evaluation): UnitCommit[] {
  return units.map((evaluated) => unitCommit(config, evaluated, now));
}

function unitCommit(config: Config, evaluated: UnitEvaluation, now: EpochSeconds): UnitCommit {
  const { record, unit } = evaluated;
  const { memory, notices } = tell(findingOf(config, evaluated, now), record.memory);
  // Messages speak of the unit as it is remembered after this round.
  const facts = unitFacts(config, { ...evaluated, record: { ...record, memory } }, now);
  const outbox = notices.flatMap((notice) =>
    readersOf(config, unit, { notice, facts, now }).flatMap((person) =>
      entries(config, person, { notice, facts, now }),
    ),
  );
  return { unit: unit.id, expectedVersion: record.version, memory, outbox };
}

function findingOf(
  config: Config,
  { unit, assessment, record, place }: UnitEvaluation,
  now: EpochSeconds,
): Finding {
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  return {
    unit: unit.id,
    now,
    advice: assessment?.advice ?? null,
    relaxing: assessment?.relaxing ?? record.memory.relaxing,
    chanceIfWet: assessment?.chanceIfWet ?? 1,
    chanceAhead: assessment?.chanceAhead ?? 1,
    alreadyDamaged: assessment?.alreadyDamaged ?? false,
    deadlineAt: assessment?.firstDamage.deadlineAt ?? null,
    lowest: outside === undefined ? null : { temperatureC: outside.minimumC, at: outside.minimumAt },
    blindTooLong: blindTooLong(config, { unit, record, place }, now),
    policy: config.policy,
  };
}

/** A hiccup of the service is no news; silence beyond the age limit of its last answer is. */
function blindTooLong(
  config: Config,
  { record, place }: Pick<UnitEvaluation, 'unit' | 'record' | 'place'>,
  now: EpochSeconds,
): boolean {
  const last = record.memory.lastKnown;
  if (last === null) return true;
  const limits = config.weather.sources
    .filter((s) => place.place.sources.includes(s.id))
    .map((s) => s.staleAfterHours ?? 0);
  return now - last.asOf >= Math.max(0, ...limits) * HOUR_S;
}

interface Saying {
  readonly notice: Notice;
  readonly facts: UnitFacts;
  readonly now: EpochSeconds;
}

/** A heads-up goes to those who want one that early. */
function readersOf(config: Config, unit: UnitConfig, { notice, facts, now }: Saying): PersonConfig[] {
  const contacts = config.people.filter((p) => unit.contacts.includes(p.id));
  if (notice.kind !== 'heads-up') return contacts;
  const aheadS = (facts.firstDamageAt ?? now) - now;
  return contacts.filter((p) => aheadS <= p.headsUpHours * HOUR_S);
}

function entries(config: Config, person: PersonConfig, { notice, facts, now }: Saying): OutboxEntry[] {
  const reader: Reader = {
    id: person.id,
    name: person.name,
    temperature: person.temperature,
    timeZone: person.timeZone,
    words: config.display.words,
  };
  const message: OutgoingMessage = {
    messageId: messageId(config, notice, person.id),
    kind: notice.kind,
    unit: facts.unit.id,
    action: notice.action,
    startBy: notice.startBy,
    cause: facts.advice?.reasonCode ?? 'no-forecast',
    to: { id: person.id, name: person.name, email: person.email },
    createdAt: now,
    ...renderMessage(notice, facts, reader),
  };
  const quietEnd =
    notice.canWait && person.quiet !== null ? endOfQuiet(person.quiet, person.timeZone, now) : now;
  // What would be too late after the quiet hours does not wait for their end.
  const notBefore = quietEnd < notice.useBefore ? quietEnd : now;
  return person.channels.map((channel) => ({
    episode: notice.episode,
    channel,
    useBefore: notice.useBefore,
    notBefore,
    message,
  }));
}

/** The same for the same news, however often it is sent and by whichever process. */
function messageId(config: Config, notice: Notice, person: string): string {
  const domain = /@([A-Za-z0-9.-]+)/.exec(config.delivery.email?.from ?? '')?.[1] ?? 'drainby.invalid';
  const local = [notice.episode, notice.kind, notice.action, person]
    .join('.')
    .replaceAll(/[^A-Za-z0-9.-]/g, '');
  return `<${local}@${domain}>`;
}
