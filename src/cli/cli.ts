/** The table of commands, and from any failure to an exit code and words on stderr. */
import { Command, CommanderError } from 'commander';
import { readVersion } from '../app/version.ts';
import {
  ConfigError,
  DeliveryError,
  EXIT,
  ModelError,
  SourceError,
  StoreError,
  UsageError,
  type ExitCode,
} from '../errors.ts';
import { checkCommand } from './check.ts';
import { configCommand } from './config.ts';
import { demoCommand } from './demo.ts';
import { explainCommand } from './explain.ts';
import { Interruption, processIo, type Finish, type Io } from './io.ts';
import { markCommand } from './mark.ts';
import { OutputError } from './output.ts';
import { readingsCommand } from './readings.ts';
import { scoreCommand } from './score.ts';
import { sendTestCommand } from './send-test.ts';
import { NO_EARLY_SIGNALS, type EarlySignals } from './signals.ts';
import { isDaemon, startCommand } from './start.ts';
import { storeCommand } from './store.ts';

/** The program as the shell starts it. */
export async function runProgram(argv: readonly string[], early: EarlySignals): Promise<number> {
  return await runCli(argv, processIo(), early);
}

export async function runCli(
  argv: readonly string[],
  io: Io,
  early: EarlySignals = NO_EARLY_SIGNALS,
): Promise<number> {
  let exit: ExitCode = EXIT.ok;
  const finish: Finish = (code) => {
    exit = code;
  };
  const program = new Command('drainby')
    .description(
      'Says, days ahead, when a parked trailer or motorhome must be kept warm, drained or winterized.',
    )
    .version(readVersion())
    .configureOutput({ writeOut: io.write, writeErr: io.complain })
    .exitOverride();
  const commands = [
    checkCommand,
    (...of: [Io, Finish]) => startCommand(...of, early),
    explainCommand,
    markCommand,
    readingsCommand,
    scoreCommand,
    configCommand,
    sendTestCommand,
    storeCommand,
    demoCommand,
  ];
  program.hook('preAction', (_program, command) => {
    if (!isDaemon(command)) stopIfAsked(early);
  });
  for (const command of commands)
    program.addCommand(command(io, finish).exitOverride().copyInheritedSettings(program));
  try {
    await program.parseAsync([...argv], { from: 'user' });
    return exit;
  } catch (error) {
    // The reader has seen enough of an answer that was complete.
    if (error instanceof OutputError && error.closed) return exit;
    return failed(error, io);
  }
}

/** Any command but the daemon, which ends in order, leaves it at once when it was asked to before it began. */
function stopIfAsked(early: EarlySignals): void {
  if (early.release().length > 0) throw new Interruption();
}

function failed(error: unknown, io: Io): ExitCode {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.ok : EXIT.usage;
  if (error instanceof Interruption) {
    io.complain(`${error.message}\n`);
    return EXIT.interrupted;
  }
  if (error instanceof OutputError) {
    io.complain(`${error.message}\n`);
    return EXIT.usage;
  }
  const known = exitFor(error);
  if (known === null) {
    io.complain(
      `This is a bug in drainby. Please report it with these lines:\n${error instanceof Error ? error.stack : String(error)}\n`,
    );
    return EXIT.bug;
  }
  const { message, hint } = error as Error & { hint: string | null };
  io.complain(`${message}\n${hint === null ? '' : `${hint}\n`}`);
  return known;
}

function exitFor(error: unknown): ExitCode | null {
  if (error instanceof UsageError || error instanceof ConfigError || error instanceof ModelError)
    return EXIT.usage;
  if (error instanceof SourceError) return EXIT.noForecast;
  if (error instanceof DeliveryError) return error.code === 'delivery-config' ? EXIT.usage : EXIT.undelivered;
  if (error instanceof StoreError) return EXIT.store;
  return null;
}
