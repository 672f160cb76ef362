/** Answers by links: what their pages show, and what a press of their button does. */
import type { Config, PersonConfig, UnitConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import type { AnswerCode } from '../message/message.ts';
import { formatLocal } from '../quantity/local-time.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Log } from '../outbox/log.ts';
import type { Store } from '../store/store.ts';
import type { FilledIn } from '../web/answer-form.ts';
import type { AnswerDesk, Shown } from '../web/answer-routes.ts';
import type { Statement } from '../web/statement.ts';
import { asksHow } from './answer-record.ts';
import { heldWater } from './held-water.ts';
import { isOld } from './link-age.ts';
import { SAID, requestOf } from './link-request.ts';
import { askingView, howQuestion, keptTitle, refusedView, standingView, type Viewed } from './link-view.ts';
import { linkRemarks, nobodyWords } from './mark-remarks.ts';
import type { Given, MarkRequest } from './mark-request.ts';
import { answer } from './mark.ts';

export interface DeskOf {
  readonly config: Config;
  readonly store: Pick<Store, 'answer' | 'linkKey' | 'readUnit'>;
  readonly now: () => EpochSeconds;
  readonly log: Log;
  /** Called after each answer that was kept. */
  readonly onAnswer: () => void;
}

export function answerDesk(of: DeskOf): AnswerDesk {
  return {
    key: () => of.store.linkKey(of.now()),
    async look(statement) {
      const viewed = await viewedOf(of, statement);
      if (viewed === null) return NOBODY;
      const { record, now, person } = viewed;
      const { state } = SAID[statement.answer];
      if (isOld(statement, { current: record, state, by: person.id, now })) return old(viewed);
      return { status: 200, view: askingView(viewed, null) };
    },
    async give(statement, filledIn, press) {
      const viewed = await viewedOf(of, statement);
      return viewed === null ? NOBODY : await given(of, viewed, { statement, filledIn, press });
    },
    async expired(statement) {
      const viewed = await viewedOf(of, statement);
      return viewed === null ? NOBODY : { status: 410, view: refusedView(viewed, EXPIRED) };
    },
  };
}

const EXPIRED = 'This link has expired and changes nothing.';

const OLD =
  'This link belongs to a warning that is over, or that another one has taken the place of: it changes nothing. Take a link from the newest message.';

const MOVED =
  'Since this page was opened somebody has said something else; below is how it stands now. Nothing was changed. If your answer is right all the same, press once more.';

const NOBODY: Shown = {
  status: 404,
  view: {
    title: 'Not known any more',
    unit: null,
    notes: [
      {
        kind: 'wrong',
        text: 'The config no longer names this unit, or no longer names you as one who looks after it. Nothing was changed.',
      },
    ],
    rows: [],
    form: null,
    question: null,
    command: null,
  },
};

/** Null: there is no such unit, or the person has nothing to do with it. */
async function viewedOf(
  { config, store, now }: DeskOf,
  { unit, person, answer: code }: Statement,
): Promise<Viewed | null> {
  const known = config.units.find(({ id }) => id === unit);
  const reader = config.people.find(({ id }) => id === person);
  if (known === undefined || reader === undefined || !looksAfter(config, known, reader)) return null;
  return {
    config,
    unit: known,
    person: reader,
    answer: code,
    record: await store.readUnit(unit),
    now: now(),
  };
}

function looksAfter({ places }: Config, unit: UnitConfig, { id }: PersonConfig): boolean {
  const managers = places.find((place) => place.id === unit.place)?.managers ?? [];
  return unit.contacts.includes(id) || managers.includes(id);
}

function old(viewed: Viewed): Shown {
  return { status: 410, view: refusedView(viewed, OLD) };
}

interface Press {
  readonly statement: Statement;
  readonly filledIn: FilledIn;
  readonly press: string;
}

async function given(of: DeskOf, viewed: Viewed, { statement, filledIn, press }: Press): Promise<Shown> {
  const { config, unit, person, now } = viewed;
  const { episode, issued } = statement;
  const link = { press, episode, issued, shown: filledIn.shown };
  const { request, mistakes } = requestOf({
    config,
    unit: unit.id,
    person,
    answer: statement.answer,
    filledIn,
    link,
    now,
  });
  if (mistakes.length > 0) {
    const view = askingView(viewed, filledIn);
    return { status: 422, view: { ...view, notes: mistakes.map((text) => ({ kind: 'wrong', text })) } };
  }
  // Who opened one link and ticked the other way of draining said the other.
  const said = { ...viewed, answer: drainedAs(request) ?? viewed.answer };
  try {
    const answered = await answer(of.store, request);
    if (answered.outcome === 'kept') heard(of, request, answered);
    const record = await of.store.readUnit(unit.id);
    return after({ ...said, record }, { request, answered, filledIn });
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    return { status: 409, view: refusedView(viewed, `Nothing was changed. ${error.message}`) };
  }
}

function drainedAs({ state, quality }: MarkRequest): AnswerCode | null {
  if (state !== 'drained') return null;
  return quality === 'well' ? 'drained-well' : 'drained-quickly';
}

/** Managers read in the log that somebody is told no more. */
function heard({ log, onAnswer }: DeskOf, { unit, by, state }: MarkRequest, { nobody }: Given): void {
  const fields = { unit, person: by, answer: state };
  if (state === 'not-mine')
    log.warn(fields, 'Somebody said by a link that a unit is not theirs, and is told of it no more.');
  else log.info(fields, 'An answer came by a link and was kept.');
  if (nobody) log.warn({ unit }, nobodyWords(unit));
  onAnswer();
}

interface Answered {
  readonly request: MarkRequest;
  readonly answered: Given;
  readonly filledIn: FilledIn;
}

function after(viewed: Viewed, { request, answered, filledIn }: Answered): Shown {
  const { config, unit, person, record, now } = viewed;
  if (answered.outcome === 'old') return old(viewed);
  if (answered.outcome === 'moved') {
    const view = askingView(viewed, filledIn);
    return { status: 409, view: { ...view, notes: [{ kind: 'wrong', text: MOVED }] } };
  }
  const water = heldWater(unit, record, now).water;
  const asks = record !== null && asksHow({ record, water });
  const remarks = answered.outcome === 'kept' ? linkRemarks({ ...request, config }, answered) : [];
  const title = keptTitle(viewed, request.withoutColour ?? []);
  const done =
    answered.outcome === 'kept'
      ? `Kept: “${title}”, ${request.basis ?? 'said'} by ${person.name} on ${formatLocal(now, person.timeZone)}.`
      : 'This was kept already. Pressing again changes nothing.';
  return {
    status: 200,
    view: {
      ...standingView(viewed),
      title,
      notes: [{ kind: 'done', text: done }, ...remarks.map((text) => ({ kind: 'plain', text }) as const)],
      question: asks ? howQuestion(viewed) : null,
    },
  };
}
