import { Command } from 'commander';
import { describeConfig } from '../config/describe.ts';
import { formatDescription } from '../config/description-text.ts';
import { configJsonSchemaText } from '../config/json-schema.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { writeJson, type Finish, type Io } from './io.ts';

interface Options {
  readonly json?: true;
  readonly schema?: true;
}

export function configCommand(io: Io, finish: Finish): Command {
  return new Command('config')
    .description(
      'Check a config file and print what it means: zones, parts, defaults and where each comes from.',
    )
    .argument('[file]', 'config file')
    .option('--json', 'answer as drainby.config/1')
    .option('--schema', 'print the JSON Schema of config files instead')
    .action((file: string | undefined, options: Options) => {
      if (options.schema) io.write(configJsonSchemaText());
      else if (file === undefined) throw new UsageError('Name a config file: drainby config FILE.');
      else {
        const config = loadConfig(file);
        const description = describeConfig(config);
        if (options.json) writeJson(io, description);
        else io.write(formatDescription(description, config.display));
      }
      finish(EXIT.ok);
    });
}
