import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { it } from 'vitest';

const SHARED = fileURLToPath(new URL('../../shared/', import.meta.url));

/** Absolute path of an open extract or recording that lives beside the project, not in it. */
export function sharedPath(relative: string): string {
  return SHARED + relative;
}

/**
 * A test that needs the open extracts beside the project. Without them it is skipped, and says so; under CI
 * their absence is a failure.
 */
export function itWithShared(name: string, run: () => void | Promise<void>, timeoutMs?: number): void {
  if (existsSync(SHARED) || process.env['CI']) {
    it(name, run, timeoutMs);
    return;
  }
  process.stderr.write(`SKIPPED, because ../shared is not beside the project: ${name}\n`);
  it.skip(name, run);
}
