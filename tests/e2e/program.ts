/** The built program as a child process. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

const MAIN = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

/** A process that has ended. */
export interface Ended {
  /** Exit code; null when a signal ended it. */
  readonly exit: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** One line of the log. */
export interface Logged {
  readonly msg: string;
  /** Milliseconds since 1970. */
  readonly time: number;
  readonly [field: string]: unknown;
}

export interface Program {
  readonly pid: number;
  /** The next log line with this message that no earlier call has given. */
  readonly logged: (message: string) => Promise<Logged>;
  readonly kill: (signal: NodeJS.Signals) => void;
  readonly ended: Promise<Ended>;
}

export interface Setting {
  readonly cwd: string;
  readonly env?: Readonly<Record<string, string>>;
}

/** The line with which a round reports itself. */
export const ROUND_DONE = 'The round is finished and in the database.';

/** Starts `drainby` with these arguments; it is gone when the test has ended. */
export function startProgram(args: readonly string[], { cwd, env = {} }: Setting): Program {
  if (!existsSync(MAIN)) throw new Error('These tests run the built program. Run "npm run build" first.');
  const child = spawn(process.execPath, [MAIN, ...args], {
    cwd,
    env: { PATH: process.env['PATH'], ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let stdout = '';
  let stderr = '';
  const log = createLog();
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  createInterface(child.stderr).on('line', log.add);
  const ended = once(child, 'close').then(([exit]) => {
    log.end(stderr);
    return { exit: exit as number | null, stdout, stderr };
  });
  onTestFinished(async () => {
    child.kill('SIGKILL');
    await ended;
  });
  return {
    pid: child.pid ?? 0,
    logged: log.next,
    kill: (signal) => void child.kill(signal),
    ended,
  };
}

/** Runs `drainby` with these arguments to its end. */
export async function run(args: readonly string[], setting: Setting): Promise<Ended> {
  return await startProgram(args, setting).ended;
}

interface Waiting {
  readonly message: string;
  readonly resolve: (line: Logged) => void;
  readonly reject: (error: Error) => void;
}

interface Log {
  readonly add: (text: string) => void;
  /** Nothing more comes; `text` is all that was written. */
  readonly end: (text: string) => void;
  readonly next: (message: string) => Promise<Logged>;
}

function createLog(): Log {
  const unread: Logged[] = [];
  const waiting: Waiting[] = [];
  let ending: string | null = null;
  const ended = (message: string, text: string): Error =>
    new Error(`The program ended without logging "${message}". It wrote:\n${text}`);
  return {
    add: (text) => {
      const line = asLogLine(text);
      if (line === null) return;
      const index = waiting.findIndex(({ message }) => message === line.msg);
      if (index < 0) unread.push(line);
      else waiting.splice(index, 1)[0]?.resolve(line);
    },
    end: (text) => {
      ending = text;
      for (const { message, reject } of waiting.splice(0)) reject(ended(message, text));
    },
    next: async (message) => {
      const index = unread.findIndex(({ msg }) => msg === message);
      const [line] = index < 0 ? [] : unread.splice(index, 1);
      if (line !== undefined) return line;
      if (ending !== null) throw ended(message, ending);
      return await new Promise((resolve, reject) => {
        waiting.push({ message, resolve, reject });
      });
    },
  };
}

function asLogLine(text: string): Logged | null {
  return text.startsWith('{') ? (JSON.parse(text) as Logged) : null;
}
