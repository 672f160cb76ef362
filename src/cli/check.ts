import { Command } from 'commander';
import { check } from '../app/check.ts';
import { loadConfig } from '../config/load.ts';
import { checkTable } from './check-table.ts';
import { complainIfEmpty, instantOption, stopSignal, writeJson, type Finish, type Io } from './io.ts';

interface Options {
  readonly config: string;
  readonly unit: readonly string[];
  readonly now?: number;
  readonly json?: true;
  readonly failOnAction?: true;
}

export function checkCommand(io: Io, finish: Finish): Command {
  return new Command('check')
    .description('Look now: every unit’s action, start-by time and chance of damage. Writes nothing.')
    .requiredOption('-c, --config <file>', 'config file')
    .option(
      '--unit <id>',
      'only this unit (may be repeated)',
      (id: string, ids: readonly string[]) => [...ids, id],
      [],
    )
    .option('--now <instant>', 'pretend that it is this instant', instantOption)
    .option('--json', 'answer as drainby.check/1')
    .option('--fail-on-action', 'exit with 10 if any unit needs action')
    .action(async (options: Options) => {
      const config = loadConfig(options.config);
      complainIfEmpty(io, config);
      const { answer, exit } = await check({
        config,
        surroundings: io,
        now: options.now ?? io.now(),
        signal: stopSignal(),
        units: options.unit,
        failOnAction: options.failOnAction ?? false,
      });
      finish(exit);
      if (options.json) writeJson(io, answer);
      else io.write(checkTable(answer));
    });
}
