import { execFileSync, spawn } from 'node:child_process';
import type { ChildProcessByStdio } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable, Writable } from 'node:stream';
import { fileURLToPath } from 'node:url';

const PROJECT = fileURLToPath(new URL('../../', import.meta.url));

export interface Compiled {
  readonly directory: string;
  remove(): void;
}

/**
 * The named sources and all they import as JavaScript, for child processes: Node 20 runs no TypeScript. It
 * lies within the project, so that packages are found from there.
 */
export function compileSources(entries: readonly string[]): Compiled {
  const cache = join(PROJECT, 'node_modules/.cache');
  mkdirSync(cache, { recursive: true });
  const directory = mkdtempSync(join(cache, 'drainby-tests-'));
  const config = {
    extends: join(PROJECT, 'tsconfig.json'),
    compilerOptions: {
      rootDir: join(PROJECT, 'src'),
      outDir: directory,
      noCheck: true,
      typeRoots: [join(PROJECT, 'node_modules/@types')],
    },
    files: entries.map((entry) => join(PROJECT, 'src', entry)),
    include: [],
  };
  writeFileSync(join(directory, 'tsconfig.json'), JSON.stringify(config));
  writeFileSync(join(directory, 'package.json'), JSON.stringify({ type: 'module' }));
  execFileSync(process.execPath, [join(PROJECT, 'node_modules/typescript/bin/tsc'), '-p', directory]);
  return {
    directory,
    remove() {
      rmSync(directory, { recursive: true, force: true });
    },
  };
}

export interface Child {
  /** The next line that it prints. */
  line(): Promise<string>;
  /** Answers it: one line on its standard input. */
  say(line: string): void;
  kill(signal: NodeJS.Signals): Promise<void>;
  /** Exit code; null when a signal ended it. */
  readonly ended: Promise<number | null>;
}

/** Runs a script in a process of its own. Its standard error is passed on. */
export function startChild(script: string, args: readonly string[] = []): Child {
  const child: ChildProcessByStdio<Writable, Readable, null> = spawn(
    process.execPath,
    ['--input-type=module', '--eval', script, '--', ...args],
    { cwd: PROJECT, stdio: ['pipe', 'pipe', 'inherit'] },
  );
  const lines = createInterface(child.stdout)[Symbol.asyncIterator]();
  const ended = once(child, 'exit').then(([code]) => code as number | null);
  return {
    async line() {
      const next = await lines.next();
      if (next.done === true) throw new Error('The child process ended without the line that was awaited.');
      return next.value;
    },
    say(line) {
      child.stdin.write(`${line}\n`);
    },
    async kill(signal) {
      child.kill(signal);
      await ended;
    },
    ended,
  };
}
