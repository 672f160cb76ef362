/** Temperatures that people, files and sensors report: said, imported, listed, taken in while the daemon runs. */
import { readFileSync } from 'node:fs';
import type { Config } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { readReadingsCsv, type CsvMistake, type CsvRow } from '../readings/csv-parse.ts';
import type { Reported } from '../readings/parse.ts';
import type { ReadingCounts } from '../store/measured.ts';
import { openStore } from '../store/open.ts';
import { openReader } from '../store/reader.ts';
import type { Store } from '../store/store.ts';
import type { Reading, ReadingOrigin } from '../weather/reading.ts';
import { checkReading, type ReadingMistake, type ReadingTarget } from './reading-check.ts';

export interface ReadingRequest {
  readonly config: Config;
  /** Id of a place or a unit, or `place:ID` or `unit:ID` where both have it. */
  readonly target: string;
  /** Null: outside. */
  readonly zone: string | null;
  readonly now: EpochSeconds;
}

export interface ReadingKept extends ReadingTarget {
  readonly reading: Reading;
  readonly counts: ReadingCounts;
}

/** @throws UsageError for what is not there or cannot be; StoreError. */
export async function sayReading(
  request: ReadingRequest & { readonly temperatureC: number; readonly at: EpochSeconds },
): Promise<ReadingKept> {
  const { config, zone, temperatureC, at, now } = request;
  const target = findTarget(config, request.target);
  const reported: Reported = { ...idsOf(target), zone, temperature: temperatureC, scale: 'C', at };
  const checked = checkReading(config, reported, { now, origin: 'said' });
  if (!checked.ok) throw new UsageError(checked.mistakes.map(({ text }) => text).join('\n'));
  const { reading } = checked;
  return { ...target, reading, counts: await write(config, [reading], now) };
}

export interface ImportRequest extends ReadingRequest {
  /** Path of the CSV file. */
  readonly file: string;
  /** Whether the good lines are taken when there are bad ones. */
  readonly skipBad: boolean;
}

export interface Imported extends ReadingTarget {
  readonly counts: ReadingCounts;
  /** Lines without a temperature. */
  readonly empty: number;
  /** Lines that were left out, as `file:line: why`. */
  readonly skipped: readonly string[];
}

/**
 * All lines or none, unless the bad ones are to be skipped.
 *
 * @throws UsageError with every mistake; StoreError.
 */
export async function importReadings(request: ImportRequest): Promise<Imported> {
  const { config, file, skipBad, now } = request;
  const target = findTarget(config, request.target);
  const { rows, mistakes, empty, headless } = readReadingsCsv(readText(file));
  const checked = rows.map((row) => checkRow(request, target, row));
  const readings = checked.flatMap((one) => ('line' in one ? [] : [one]));
  const bad = [...mistakes, ...checked.flatMap((one) => ('line' in one ? [one] : []))].toSorted(
    (a, b) => a.line - b.line,
  );
  const said = bad.map(({ line, text }) => `${file}:${line}: ${text}${text.endsWith('.') ? '' : '.'}`);
  if (headless || (bad.length > 0 && !skipBad)) throw refusedImport(said, headless);
  if (readings.length === 0)
    throw new UsageError([...said, `${file} holds no reading to import.`].join('\n'));
  return { ...target, counts: await write(config, readings, now), empty, skipped: said };
}

export interface ListedReadings extends ReadingTarget {
  /** Oldest first. */
  readonly readings: readonly Reading[];
}

/** The newest readings of a unit, or of a place and all its units; none where there is no database yet. */
export async function listReadings(
  { config, target: id }: Pick<ReadingRequest, 'config' | 'target'>,
  limit: number,
): Promise<ListedReadings> {
  const target = findTarget(config, id);
  const reader = await openReader(config.store.path);
  if (reader === null) return { ...target, readings: [] };
  try {
    const asked = { place: target.place.id, unit: target.unit?.id ?? null, limit };
    return { ...target, readings: await reader.lastReadings(asked) };
  } finally {
    await reader.close();
  }
}

export type Accepted =
  | { readonly ok: true; readonly counts: ReadingCounts }
  | { readonly ok: false; readonly mistakes: readonly (ReadingMistake & { readonly index: number })[] };

export interface Intake {
  readonly config: Config;
  readonly store: Pick<Store, 'addReadings'>;
  readonly origin: ReadingOrigin;
  readonly now: () => EpochSeconds;
}

/**
 * For the daemon: takes all that is reported at once, or nothing and says every mistake; nothing, too, where one is
 * null, which could not be read. Rejects with a StoreError.
 */
export function acceptReadings({ config, store, origin, now }: Intake) {
  return async (reported: readonly (Reported | null)[]): Promise<Accepted> => {
    const at = now();
    const checked = reported.map((one) =>
      one === null ? null : checkReading(config, one, { now: at, origin }),
    );
    const mistakes = checked.flatMap((one, index) =>
      one === null || one.ok ? [] : one.mistakes.map((mistake) => ({ ...mistake, index })),
    );
    const readings = checked.flatMap((one) => (one?.ok === true ? [one.reading] : []));
    if (readings.length < reported.length) return { ok: false, mistakes };
    return { ok: true, counts: await store.addReadings(readings, at) };
  };
}

/** For the daemon: why a reading cannot be taken, in one text; null: it can. */
export function readingProblem({ config, origin, now }: Omit<Intake, 'store'>) {
  return (reported: Reported): string | null => {
    const checked = checkReading(config, reported, { now: now(), origin });
    return checked.ok ? null : checked.mistakes.map(({ text }) => text).join(' ');
  };
}

/** @throws UsageError for an id that nobody has, or that a place and a unit have. */
function findTarget(config: Config, text: string): ReadingTarget {
  const [, sort, id = text] = /^(place|unit):(.*)$/.exec(text) ?? [];
  const place = sort === 'unit' ? undefined : config.places.find((p) => p.id === id);
  const unit = sort === 'place' ? undefined : config.units.find((u) => u.id === id);
  if (place !== undefined && unit !== undefined)
    throw new UsageError(`Both a place and a unit are called "${id}". Say place:${id} or unit:${id}.`);
  if (place !== undefined) return { place, unit: null };
  const its = config.places.find((p) => p.id === unit?.place);
  if (unit !== undefined && its !== undefined) return { place: its, unit };
  const ids = (of: readonly { readonly id: string }[]): string =>
    of.map((one) => one.id).join(', ') || 'none';
  throw new UsageError(
    `There is no place or unit "${text}" in ${config.file}. Its places are: ${ids(config.places)}; its units: ${ids(config.units)}.`,
  );
}

function idsOf({ place, unit }: ReadingTarget): Pick<Reported, 'place' | 'unit'> {
  return { place: unit === null ? place.id : null, unit: unit?.id ?? null };
}

function checkRow(
  { config, zone, now }: ImportRequest,
  target: ReadingTarget,
  row: CsvRow,
): Reading | CsvMistake {
  const { temperature, scale, at } = row;
  const reported: Reported = { ...idsOf(target), zone: row.zone ?? zone, temperature, scale, at };
  const checked = checkReading(config, reported, { now, origin: 'file' });
  if (checked.ok) return checked.reading;
  return { line: row.line, text: checked.mistakes.map(({ text }) => text).join(' ') };
}

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new UsageError(`The file ${file} cannot be read: ${reason}.`, { cause });
  }
}

function refusedImport(said: readonly string[], headless: boolean): UsageError {
  const lines = said.length === 1 ? 'One line' : `${said.length} lines`;
  const hint = headless
    ? 'Correct the header: every line takes its meaning from it.'
    : 'Correct them, or take the rest with --skip-bad.';
  return new UsageError([...said, `${lines} cannot be taken, so nothing was imported.`].join('\n'), { hint });
}

/** In one transaction. */
async function write(
  config: Config,
  readings: readonly Reading[],
  now: EpochSeconds,
): Promise<ReadingCounts> {
  const store = await openStore(config.store.path);
  try {
    return await store.addReadings(readings, now);
  } finally {
    await store.close();
  }
}
