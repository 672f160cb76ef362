import { Command } from 'commander';
import { machineSchemaText } from '../app/machine-schema-text.ts';
import { describeConfig } from '../config/describe.ts';
import { formatDescription } from '../config/description-text.ts';
import { configJsonSchemaText } from '../config/json-schema.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { writeJson, type Finish, type Io } from './io.ts';

interface Options {
  readonly json?: true;
  readonly schema?: true | string;
}

export function configCommand(io: Io, finish: Finish): Command {
  return new Command('config')
    .description(
      'Check a config file and print what it means: zones, parts, defaults and where each comes from.',
    )
    .argument('[file]', 'config file')
    .option('--json', 'answer as drainby.config/1')
    .option(
      '--schema [of]',
      'print the JSON Schema of config files instead, or of what machines are told: message, state',
    )
    .action((file: string | undefined, options: Options) => {
      if (options.schema !== undefined) io.write(schemaText(options.schema, file));
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

function schemaText(of: true | string, file: string | undefined): string {
  if (of === true) return configJsonSchemaText();
  const text = machineSchemaText(of);
  if (text !== null && file === undefined) return text;
  throw new UsageError('There are three: drainby config --schema, --schema message and --schema state.');
}
