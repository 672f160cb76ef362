import { Command } from 'commander';
import { backUpStore, checkStore, replaceLinkKey } from '../app/store-care.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT } from '../errors.ts';
import type { Finish, Io } from './io.ts';

interface Options {
  readonly config: string;
}

export function storeCommand(io: Io, finish: Finish): Command {
  const store = new Command('store').description(
    'Copy or check the database, or make the links that were sent void, also while the daemon runs.',
  );
  store
    .command('backup')
    .description('Write a copy of the database as it is now.')
    .argument('<target>', 'file to write; one that is there is not written over')
    .requiredOption('-c, --config <file>', 'config file')
    .action(async (target: string, { config }: Options) => {
      const bytes = await backUpStore(loadConfig(config), target);
      io.write(`Written and whole: ${target}, ${Math.ceil(bytes / 1024)} KiB.\n`);
      finish(EXIT.ok);
    });
  store
    .command('check')
    .description('Say whether the database is whole.')
    .requiredOption('-c, --config <file>', 'config file')
    .action(async ({ config }: Options) => {
      await checkStore(loadConfig(config));
      io.write('The database is whole.\n');
      finish(EXIT.ok);
    });
  store
    .command('new-link-key')
    .description(
      'Sign links with a new key from now on: those that were sent so far change nothing any more.',
    )
    .requiredOption('-c, --config <file>', 'config file')
    .action(async ({ config }: Options) => {
      await replaceLinkKey(loadConfig(config), io.now());
      io.write('Links that were sent so far are void. Messages from now on carry new ones.\n');
      finish(EXIT.ok);
    });
  return store;
}
