/** From a notice to the messages that carry it: one to each reader, over each of their ways. */
import type { Config, PersonConfig } from '../config/config.ts';
import { outsideAction } from '../decision/advice.ts';
import type { AddressedNotice, Notice } from '../decision/memory.ts';
import type { OutgoingMessage, Reader, UnitFacts } from '../message/message.ts';
import type { UnitFigures } from '../message/unit-state.ts';
import { renderMessage } from '../message/render.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry } from '../store/store.ts';
import { messageIdOf } from './message-id.ts';
import { waysOut } from './ways-out.ts';

export interface Saying {
  readonly notice: Notice;
  readonly facts: UnitFacts;
  readonly figures: UnitFigures;
  readonly now: EpochSeconds;
  /** The reader gets it in one message with others. */
  readonly gathers: boolean;
}

export function readersOf({ people }: Config, { to }: AddressedNotice): PersonConfig[] {
  return people.filter((p) => to.includes(p.id));
}

export function entries(
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
    linked: (config.web?.publicUrl ?? null) !== null,
  };
  const message: OutgoingMessage = {
    messageId: messageIdOf(config, notice.episode, notice.kind, notice.action, person.id),
    kind: notice.kind,
    unit: facts.unit.id,
    ...outsideAction(notice.action),
    ...workOf(notice, facts),
    startBy: notice.startBy,
    cause: causeOf(notice, facts),
    to: { id: person.id, name: person.name, email: person.email, text: person.text },
    createdAt: now,
    place: facts.place.id,
    episode: notice.episode,
    useBefore: notice.useBefore,
    figures,
    ...renderMessage(notice, facts, reader),
  };
  const { episode, useBefore, canWait } = notice;
  return waysOut(person, { episode, useBefore, canWait, now, message, gathers });
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

/** Why it was sent. What is only announced is no reason of the advice, which asks for nothing yet. */
function causeOf({ kind, forecastBack }: Notice, { advice, service }: UnitFacts): string {
  if (kind === 'heads-up' && forecastBack !== true) return 'cold-likely';
  if (kind === 'fill-by') return `water-shut-by-${service?.because ?? 'date'}`;
  if (kind === 'dump-by') return `dump-closed-by-${service?.dumpBecause ?? service?.because ?? 'date'}`;
  return advice?.reasonCode ?? 'no-forecast';
}
