import { readFile, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { SourceError } from '../../errors.ts';
import type { EpochSeconds } from '../../quantity/instant.ts';
import { coverageProblem } from '../coverage.ts';
import type { ForecastSource, SourceAnswer } from '../source.ts';
import { parseSeriesFile } from './parse.ts';

const MAX_FILE_BYTES = 64 * 1024 * 1024;

export interface FileSourceOptions {
  readonly id: string;
  readonly path: string;
}

/** A series file of the user's own, CSV or `drainby.series/1`; the same for every place. */
export function fileSource(options: FileSourceOptions): ForecastSource {
  return {
    id: options.id,
    fetch: async (points, now, signal) => {
      signal.throwIfAborted();
      const answer = await readAnswer(options, now, signal);
      return new Map(points.map((point) => [point.id, answer]));
    },
  };
}

async function readAnswer(
  { id, path }: FileSourceOptions,
  now: EpochSeconds,
  signal: AbortSignal,
): Promise<SourceAnswer> {
  const file = basename(path);
  try {
    const { content: text, writtenAt } = await readText(path, file, signal);
    // What does not say when it was issued is as old as the file; one of the future is read under a clock that is set back.
    const forecast = parseSeriesFile({ file, text }, { source: id, fetchedAt: Math.min(now, writtenAt) });
    const error = coverageProblem(forecast, now);
    return error === null ? { ok: true, forecast, writtenAt } : { ok: false, error };
  } catch (cause) {
    signal.throwIfAborted();
    if (cause instanceof SourceError) return { ok: false, error: cause };
    throw cause;
  }
}

interface Read<T> {
  readonly content: T;
  readonly writtenAt: EpochSeconds;
}

async function readText(path: string, file: string, signal: AbortSignal): Promise<Read<string>> {
  const { content: bytes, writtenAt } = await readBytes(path, file, signal);
  try {
    return { content: new TextDecoder('utf-8', { fatal: true }).decode(bytes), writtenAt };
  } catch (cause) {
    const text = `The series file ${file} is not UTF-8 text.`;
    throw new SourceError('source-file', text, { hint: 'Save it as UTF-8.', cause });
  }
}

async function readBytes(path: string, file: string, signal: AbortSignal): Promise<Read<Uint8Array>> {
  try {
    const found = await stat(path);
    if (!found.isFile()) {
      throw new SourceError('source-file', `The series file ${file} is not a regular file.`);
    }
    if (found.size > MAX_FILE_BYTES) {
      const text = `The series file ${file} has ${found.size} bytes; at most ${MAX_FILE_BYTES} are read.`;
      throw new SourceError('source-file', text, { hint: 'Cut it to the hours that matter.' });
    }
    return { content: await readFile(path, { signal }), writtenAt: Math.floor(found.mtimeMs / 1000) };
  } catch (cause) {
    if (cause instanceof SourceError) throw cause;
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown failure';
    const text = `The series file ${file} cannot be read (${code}).`;
    throw new SourceError('source-file', text, {
      hint: 'Check the `path` of the source in the config, and that this user may read the file.',
      cause,
    });
  }
}
