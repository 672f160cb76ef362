/** What a person says they did to a unit, or saw, or mean to do: one way for the command and for links. */
import type { UnitConfig } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import type { UnitWater } from '../model/water-state.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { KeptAnswer } from '../store/kept-answers.ts';
import { openStore } from '../store/open.ts';
import type { Answering, Store, UnitRecord } from '../store/store.ts';
import { newAnswer } from './answer-record.ts';
import { findUnit } from './check.ts';
import { nobodyIsTold } from './contacts.ts';
import { damagedUnit } from './damaged-unit.ts';
import { isOld } from './link-age.ts';
import { remarks } from './mark-remarks.ts';
import {
  checkRequest,
  circuitsIn,
  isIntent,
  stateOf,
  whyCannotHold,
  type Given,
  type MarkRequest,
  type MarkState,
} from './mark-request.ts';
import { markedWater } from './marked-water.ts';
import { isRepeat } from './repeat.ts';

/**
 * Returns what the person should know of what was said, in full sentences.
 *
 * @throws UsageError for what does not fit together, cannot be, or would change nothing; StoreError.
 */
export async function mark(request: MarkRequest): Promise<readonly string[]> {
  // What cannot be said does not make a database.
  checkAll(request);
  const store = await openStore(request.config.store.path);
  try {
    const given = await answer(store, request);
    return remarks(request, given);
  } finally {
    await store.close();
  }
}

/** @throws UsageError for what does not fit together, cannot be, or would change nothing; StoreError. */
export async function answer(store: Pick<Store, 'answer'>, request: MarkRequest): Promise<Given> {
  const unit = checkAll(request);
  let given: Given = { outcome: 'kept', suspect: false, nobody: false };
  const decide = (current: UnitRecord | null, pressed: KeptAnswer | null): Answering | null => {
    const outcome = outcomeOf(request, unit, { current, pressed });
    const answering = outcome === 'kept' ? answered(request, unit, current) : null;
    given = { outcome, suspect: (current?.memory.suspectSince ?? null) !== null, nobody: false };
    if (answering === null) return null;
    const after = [...(current?.answers ?? []), { ...answering.answer, id: Infinity, endedAt: null }];
    given = { ...given, nobody: nobodyIsTold(unit, after, request.now) };
    return answering;
  };
  await store.answer({ unit: unit.id, link: request.link?.press ?? null, decide });
  return given;
}

/** @throws UsageError */
function checkAll(request: MarkRequest): UnitConfig {
  const unit = findUnit(request.config, request.unit);
  checkRequest(request);
  checkCircuits(request, unit);
  return unit;
}

interface Known {
  /** Null: nothing was ever written of the unit. */
  readonly current: UnitRecord | null;
  /** What the same press of the button wrote already; null: nothing. */
  readonly pressed: KeptAnswer | null;
}

/** The command always counts; a link only in its episode, only once, and not over what its page did not show. */
function outcomeOf(request: MarkRequest, unit: UnitConfig, { current, pressed }: Known): Given['outcome'] {
  const { link, now } = request;
  if (link === undefined) return 'kept';
  const answers = current?.answers ?? [];
  if (pressed !== null || isRepeat({ request, link, unit, current })) return 'before';
  if (isOld(link, { current, state: request.state, by: request.by, now })) return 'old';
  const said = answers.findLast((one) => !isIntent(one.answer as MarkState))?.id ?? 0;
  if (link.shown !== null && !isIntent(request.state) && said > link.shown) return 'moved';
  return 'kept';
}

function answered(request: MarkRequest, unit: UnitConfig, current: UnitRecord | null): Answering {
  const { at, by } = request;
  refuseDamaged(request, current);
  const checked = request.state === 'checked';
  return {
    water: waterOf(request, unit, current),
    checked,
    at,
    by,
    answer: newAnswer(request, unit, current),
  };
}

function waterOf(request: MarkRequest, unit: UnitConfig, current: UnitRecord | null): UnitWater | null {
  if (isIntent(request.state)) return null;
  return request.state === 'checked' ? checkedWater(request, current) : markedWater(request, unit, current);
}

/** Circuits must be there, and what is said of one alone must be possible. */
function checkCircuits(request: MarkRequest, unit: UnitConfig): void {
  const known = circuitsIn(unit);
  for (const circuit of [...request.circuits, ...(request.withoutColour ?? [])]) {
    if (!known.includes(circuit))
      throw new UsageError(
        `Unit ${unit.id} has no circuit "${circuit}". Its circuits are: ${known.join(', ')}.`,
      );
  }
  for (const circuit of request.circuits) {
    const why = whyCannotHold(unit, circuit, stateOf(request).kind);
    if (why !== null) throw new UsageError(`Circuit ${circuit} of unit ${unit.id} cannot be so. ${why}`);
  }
}

/** A damaged record can be replaced by what is said of the whole unit, and by nothing less. */
function refuseDamaged(
  { unit, state, circuits, withoutColour = [] }: MarkRequest,
  current: UnitRecord | null,
): void {
  const whole =
    circuits.length + withoutColour.length === 0 &&
    state !== 'kept-warm' &&
    state !== 'checked' &&
    !isIntent(state);
  if (current?.damaged === true && !whole) throw damagedUnit(unit);
}

/** A check changes no water; one that is older than the last would take that one back. */
function checkedWater({ unit, at, now }: MarkRequest, current: UnitRecord | null): null {
  const last = current?.checkedAt ?? null;
  if (last === null || last <= at || last > now) return null;
  throw new UsageError(
    `Unit ${unit} was checked at ${isoSecond(last)} already. A check before that changes nothing; leave out --at for one made now.`,
  );
}
