import { readFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { ConfigError } from '../errors.ts';
import type { Config } from './config.ts';
import { parseConfig } from './parse.ts';

/** A hand-written file for thousands of units stays far below this. */
const LARGEST_FILE_BYTES = 16 * 1024 * 1024;

/**
 * Reads and checks a config file. Its paths are relative to its own directory. Throws a `ConfigError` with
 * every mistake at once; `file` appears in them as given.
 */
export function loadConfig(file: string): Config {
  const directory = dirname(resolve(file));
  return parseConfig(readText(file), { file, resolvePath: (path) => resolve(directory, path) });
}

function readText(file: string): string {
  const bytes = readBytes(file);
  if (bytes.length > LARGEST_FILE_BYTES) {
    throw unreadable(file, `it is larger than ${LARGEST_FILE_BYTES / 1024 / 1024} MiB`);
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (cause) {
    throw unreadable(file, 'it is not UTF-8 text', cause);
  }
}

function readBytes(file: string): Buffer {
  try {
    return readFileSync(file);
  } catch (cause) {
    throw unreadable(file, reasonOf(cause), cause);
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'there is no such file',
  EACCES: 'this user may not read it',
  EISDIR: 'it is a directory',
};

function reasonOf(cause: unknown): string {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
  return REASONS[code] ?? `the system says ${code || String(cause)}`;
}

function unreadable(file: string, reason: string, cause?: unknown): ConfigError {
  return new ConfigError('config-unreadable', [`${file}: the config cannot be read: ${reason}`], {
    hint: 'Give the path of a config file; config/example.yaml is one to start from.',
    cause,
  });
}
