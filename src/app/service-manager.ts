/** Tells systemd that the program is up, what it does, and that it is alive: only where systemd asks for it. */
import { execFile } from 'node:child_process';
import { promisify } from 'node:util';
import type { Log } from '../outbox/log.ts';
import { messageOf } from './error-words.ts';

const run = promisify(execFile);

type Env = Readonly<Record<string, string | undefined>>;

export interface ServiceManager {
  /** Such as `READY=1`; never rejects. */
  tell(...states: readonly string[]): Promise<void>;
  /** How often it wants to hear that the program is alive; null: never. */
  readonly watchdogMs: number | null;
}

const TIMEOUT_MS = 5000;

/** Null: nobody asks. */
export function serviceManager(env: Env, log: Log): ServiceManager | null {
  const socket = env['NOTIFY_SOCKET'] ?? '';
  if (socket === '') return null;
  let failed = false;
  return {
    watchdogMs: watchdogMs(env),
    async tell(...states) {
      try {
        await run('systemd-notify', ['--', ...states], {
          env: { PATH: env['PATH'] ?? '/usr/bin:/bin', NOTIFY_SOCKET: socket },
          timeout: TIMEOUT_MS,
        });
        failed = false;
      } catch (error) {
        if (!failed) log.warn({ error: messageOf(error) }, UNHEARD);
        failed = true;
      }
    },
  };
}

const UNHEARD = 'systemd could not be told how it stands; with a watchdog it will restart the program.';

/** Meant for this process, when it says for which. */
function watchdogMs(env: Env): number | null {
  const microseconds = Number(env['WATCHDOG_USEC'] ?? '0');
  const isOurs = env['WATCHDOG_PID'] === undefined || Number(env['WATCHDOG_PID']) === process.pid;
  return isOurs && microseconds > 0 ? microseconds / 1000 : null;
}

export interface Watch {
  readonly manager: ServiceManager;
  /** What stands still; null: nothing. */
  readonly standstill: () => string | null;
  readonly log: Log;
}

/** At half of the time in which systemd wants to hear it, while everything moves. Returns how to stop. */
export function keepAlive({ manager, standstill, log }: Watch): () => void {
  if (manager.watchdogMs === null) return () => undefined;
  let said: string | null = null;
  const timer = setInterval(() => {
    const still = standstill();
    if (still === null) void manager.tell('WATCHDOG=1');
    else if (still !== said) log.error({}, `${still} systemd is no longer told that the program is alive.`);
    said = still;
  }, manager.watchdogMs / 2);
  return () => clearInterval(timer);
}
