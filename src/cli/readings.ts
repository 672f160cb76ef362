import { Command } from 'commander';
import { importReadings, listReadings, sayReading } from '../app/readings.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { complainIfEmpty, instantOption, writeJson, type Finish, type Io } from './io.ts';
import { importedText, keptText, listAnswer, listText } from './readings-text.ts';

interface Options {
  readonly config: string;
  readonly zone?: string;
  readonly at?: number;
  readonly import?: string;
  readonly skipBad?: true;
  readonly list?: true;
  readonly json?: true;
  readonly now?: number;
}

/** What a terminal shows without scrolling. */
const LISTED = 20;

export function readingsCommand(io: Io, finish: Finish): Command {
  return (
    new Command('readings')
      .description(
        'Say what a thermometer shows at a place or in a unit, import what a logger wrote, or list what is known. Works while the daemon runs.',
      )
      .argument('<id>', 'id of the place or unit; place:ID or unit:ID where both have it')
      .argument('[value...]', 'the temperature with its unit, such as -3.5C or 25F')
      .requiredOption('-c, --config <file>', 'config file')
      .option('--zone <zone>', 'where in the unit it was measured, if not outside')
      .option('--at <instant>', 'when it was measured, if not now', instantOption)
      .option('--import <file>', 'take the lines of a CSV file: time,temperatureC or temperatureF[,zone]')
      .option('--skip-bad', 'with --import: take the good lines even if there are bad ones')
      .option('--list', 'show the last readings')
      .option('--json', 'with --list: answer as drainby.readings/1')
      .option('--now <instant>', 'pretend that it is this instant', instantOption)
      // A value below zero looks like an option; what is neither is refused with the value.
      .allowUnknownOption()
      .action(async (id: string, value: readonly string[], options: Options) => {
        const text = value.join(' ');
        refuseUnknown(`${id} ${text}`);
        checkOptions(text, options);
        const config = loadConfig(options.config);
        complainIfEmpty(io, config);
        const now = options.now ?? io.now();
        const request = { config, target: id, zone: options.zone ?? null, now };
        if (options.list) {
          const listed = await listReadings(request, LISTED);
          if (options.json) writeJson(io, listAnswer(listed));
          else io.write(listText(listed, config.display));
        } else if (options.import !== undefined) {
          const skipBad = options.skipBad ?? false;
          const imported = await importReadings({ ...request, file: options.import, skipBad });
          io.write(importedText(imported, options.import));
        } else {
          const temperatureC = temperatureOf(text);
          const kept = await sayReading({ ...request, temperatureC, at: options.at ?? now });
          io.write(keptText(kept, { display: config.display, zone: options.zone ?? null }));
        }
        finish(EXIT.ok);
      })
  );
}

/** @throws UsageError for what looks like an option and not like a temperature */
function refuseUnknown(text: string): void {
  const unknown = /(?:^| )(--?[a-z][\w-]*)/iu.exec(text)?.[1];
  if (unknown !== undefined)
    throw new UsageError(`There is no option ${unknown}. See drainby readings --help.`);
}

function checkOptions(text: string, options: Options): void {
  const given = [text !== '', options.import !== undefined, options.list === true];
  if (given.filter(Boolean).length !== 1)
    throw new UsageError(
      'Give a temperature such as -3.5C or 25F, or --import FILE, or --list: one of them.',
    );
  const only = (option: string, with_: string): never => {
    throw new UsageError(`${option} goes with ${with_} only.`);
  };
  if (options.skipBad && options.import === undefined) only('--skip-bad', '--import');
  if (options.json && !options.list) only('--json', '--list');
  if (options.at !== undefined && text === '') only('--at', 'a temperature');
  if (options.zone !== undefined && options.list) only('--zone', 'a temperature or --import');
}

/** @throws UsageError */
function temperatureOf(text: string): number {
  const result = parseQuantity('temperature', text);
  if (result.ok) return result.value;
  const bare = /^[+\-−]?[\d.]+$/u.test(text.trim());
  throw new UsageError(
    bare
      ? `"${text}" has no unit, and 25 °F are not 25 °C. Write ${text}F or ${text}C.`
      : `The temperature cannot be read: ${result.problem}.`,
  );
}
