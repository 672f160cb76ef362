import { Command } from 'commander';
import { runDaemon } from '../app/daemon.ts';
import { createLogger } from '../app/logger.ts';
import { once } from '../app/once.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { instantOption, stopSignal, type Finish, type Io } from './io.ts';
import type { EarlySignals } from './signals.ts';

interface Options {
  readonly config: string;
  readonly once?: true;
  readonly now?: number;
}

export function startCommand(io: Io, finish: Finish, early: EarlySignals): Command {
  return new Command('start')
    .description('Watch: a round at start and on schedule, messages by the outbox, until told to stop.')
    .requiredOption('-c, --config <file>', 'config file')
    .option('--once', 'one round, deliver what is due, and end')
    .option('--now <instant>', 'with --once: pretend that it is this instant', instantOption)
    .action(async (options: Options) => {
      if (options.now !== undefined && options.once === undefined)
        throw new UsageError('--now goes with --once only.');
      if (options.once) await runOnce(io, options, finish);
      else await run(io, options, { finish, early });
    });
}

/** Whether the command runs until it is told to stop. */
export function isDaemon(command: Command): boolean {
  return command.name() === 'start' && command.opts<Options>().once === undefined;
}

async function runOnce(io: Io, options: Options, finish: Finish): Promise<void> {
  const pinned = options.now;
  const { exit } = await once({
    config: loadConfig(options.config),
    surroundings: io,
    now: pinned === undefined ? io.now : () => pinned,
    signal: stopSignal(),
    log: createLogger(io.env['DRAINBY_LOG'] ?? 'info'),
  });
  finish(exit);
}

/** The first signal drains, the second gives up; a drain that hangs is a bug, and ends all the same. */
const LONGEST_DRAIN_MS = 9000;

interface Course {
  readonly finish: Finish;
  readonly early: EarlySignals;
}

async function run(io: Io, options: Options, { finish, early }: Course): Promise<void> {
  const log = createLogger(io.env['DRAINBY_LOG'] ?? 'info');
  const stop = new AbortController();
  const onSignal = (signal: NodeJS.Signals): void => {
    if (stop.signal.aborted) process.exit(EXIT.bug);
    log.info({ signal }, 'Asked to stop.');
    setTimeout(() => {
      log.error({}, 'Stopping took too long; giving up. This is a bug.');
      process.exit(EXIT.bug);
    }, LONGEST_DRAIN_MS).unref();
    stop.abort(new Error(`Stopped by ${signal}.`));
  };
  process.on('SIGTERM', onSignal);
  process.on('SIGINT', onSignal);
  const reloads = keepReloads();
  for (const signal of early.release()) {
    if (signal === 'SIGHUP') reloads.request();
    else if (!stop.signal.aborted) onSignal(signal);
  }
  await runDaemon({
    config: loadConfig(options.config),
    reread: () => loadConfig(options.config),
    surroundings: io,
    now: io.now,
    signal: stop.signal,
    onReload: reloads.onReload,
    log,
  });
  process.removeAllListeners('SIGHUP');
  finish(EXIT.ok);
}

interface Reloads {
  readonly request: () => void;
  readonly onReload: (reload: () => void) => void;
}

/** A request to read the config again that comes while the program starts would end it; it is kept instead. */
function keepReloads(): Reloads {
  let early = false;
  let onRequest = (): void => {
    early = true;
  };
  const request = (): void => onRequest();
  process.on('SIGHUP', request);
  return {
    request,
    onReload(reload) {
      onRequest = reload;
      if (early) reload();
    },
  };
}
