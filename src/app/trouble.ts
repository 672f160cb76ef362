/** What stands in a round's way, and what of it is news since the round before. */
import type { SourceError } from '../errors.ts';
import type { Gathered } from '../forecast/gather.ts';
import type { Log } from '../outbox/log.ts';
import { isoSecond } from '../quantity/instant.ts';
import { nobodyIsTold } from './contacts.ts';
import { damagedUnit } from './damaged-unit.ts';
import type { Evaluation, UnitEvaluation } from './evaluate.ts';
import type { PlaceEvaluation } from './evaluate-place.ts';
import { nobodyWords } from './mark-remarks.ts';

/** Of each place and unit in trouble the codes, which tell one trouble from another. */
export type Troubles = ReadonlyMap<string, string>;

export const NO_TROUBLES: Troubles = new Map();

interface Seen {
  readonly evaluation: Evaluation;
  readonly forecasts: ReadonlyMap<string, Gathered>;
  /** Of the round before in this process. */
  readonly before: Troubles;
}

/** Logs each trouble when it begins, changes or ends, and returns those that there are now. */
export function logTroubles(log: Log, { evaluation, forecasts, before }: Seen): Troubles {
  const { places, units, now: asOf } = evaluation;
  const now = new Map<string, string>();
  for (const place of places) {
    const key = `place ${place.place.id}`;
    const codes = codesOf(place, forecasts);
    if (codes === null) sayEnded(log, place, { units, known: before.has(key) });
    else {
      now.set(key, codes);
      if (before.get(key) !== codes) sayLost(log, place, forecasts);
    }
  }
  for (const { place, refused } of places) {
    const key = `sources of ${place.id}`;
    const errors = [...coveredErrors(place.id, forecasts), ...refused];
    const codes = errors.map(({ code }) => code).join(' ');
    if (codes === '') continue;
    now.set(key, codes);
    if (before.get(key) !== codes) sayCovered(log, place.id, errors);
  }
  for (const { unit } of units.filter(({ record }) => record.damaged === true)) {
    const key = `unit ${unit.id}`;
    const { code, message, hint } = damagedUnit(unit.id);
    now.set(key, code);
    if (!before.has(key)) log.error({ unit: unit.id, code, error: message, hint }, 'A unit is unknown.');
  }
  for (const { unit } of units.filter((u) => nobodyIsTold(u.unit, u.record.answers ?? [], asOf))) {
    const key = `contacts of ${unit.id}`;
    now.set(key, 'nobody');
    if (!before.has(key)) log.warn({ unit: unit.id, contacts: unit.contacts }, nobodyWords(unit.id));
  }
  return now;
}

/** Null: the place has a usable forecast. */
function codesOf({ place, problem }: PlaceEvaluation, forecasts: Seen['forecasts']): string | null {
  if (problem === null) return null;
  return [problem.code, ...errorsOf(place.id, forecasts).map((error) => error.code)].join(' ');
}

function errorsOf(place: string, forecasts: Seen['forecasts']): readonly SourceError[] {
  const gathered = forecasts.get(place);
  return gathered?.errors ?? [];
}

/** What failed although the place has a forecast: another source's, or one kept from an earlier round. */
function coveredErrors(place: string, forecasts: Seen['forecasts']): readonly SourceError[] {
  const gathered = forecasts.get(place);
  if (gathered?.ok !== true) return [];
  return [...gathered.errors, ...(gathered.voice.keptSince === undefined ? [] : [gathered.voice.keptSince])];
}

function sayCovered(log: Log, place: string, errors: readonly SourceError[]): void {
  const hint = [...new Set(errors.flatMap((error) => error.hint ?? []))].join(' ');
  const fields = { place, error: errors.map(({ message }) => message).join(' '), ...(hint && { hint }) };
  log.warn(fields, 'A weather source failed; another one, or its last good answer, serves for now.');
}

function sayLost(log: Log, { place, outlook, problem }: PlaceEvaluation, forecasts: Seen['forecasts']): void {
  const hints = errorsOf(place.id, forecasts).flatMap(({ hint }) => hint ?? []);
  const fields = {
    place: place.id,
    code: problem?.code,
    error: problem?.message,
    hint:
      [...new Set(hints)].join(' ') || 'The next round asks again; docs/errors.md says what each code means.',
  };
  if (outlook === null)
    log.warn(fields, 'A place has no usable forecast: what the cold will do there is unknown.');
  else log.warn(fields, 'A forecast is too short to show that no cold comes.');
}

/** A trouble of an earlier process shows in what the place's units remember. */
function sayEnded(
  log: Log,
  { place }: PlaceEvaluation,
  { units, known }: { readonly units: readonly UnitEvaluation[]; readonly known: boolean },
): void {
  const since = units
    .filter(({ unit }) => unit.place === place.id)
    .flatMap(({ record }) => record.memory.blindSince ?? []);
  if (!known && since.length === 0) return;
  const from = since.length === 0 ? {} : { since: isoSecond(Math.min(...since)) };
  log.info({ place: place.id, ...from }, 'A place has a usable forecast again.');
}
