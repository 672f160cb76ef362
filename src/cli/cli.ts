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
import { sendTestCommand } from './send-test.ts';
import { startCommand } from './start.ts';

export async function runCli(argv: readonly string[], io: Io = processIo()): Promise<number> {
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
    startCommand,
    explainCommand,
    markCommand,
    configCommand,
    sendTestCommand,
    demoCommand,
  ];
  for (const command of commands)
    program.addCommand(command(io, finish).exitOverride().copyInheritedSettings(program));
  try {
    await program.parseAsync([...argv], { from: 'user' });
    return exit;
  } catch (error) {
    return failed(error, io);
  }
}

function failed(error: unknown, io: Io): ExitCode {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.ok : EXIT.usage;
  if (error instanceof Interruption) {
    io.complain(`${error.message}\n`);
    return EXIT.interrupted;
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
