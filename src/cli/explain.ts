import { Command } from 'commander';
import { explain } from '../app/explain.ts';
import type { Config, PlaceConfig } from '../config/config.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { explainText } from './explain-text.ts';
import { instantOption, stopSignal, writeJson, type Finish, type Io } from './io.ts';

interface Options {
  readonly config: string;
  readonly member: 'middle' | number;
  readonly now?: number;
  readonly json?: true;
}

export function explainCommand(io: Io, finish: Finish): Command {
  return new Command('explain')
    .description('Show how a unit’s answer comes about: every parameter and series of one member.')
    .argument('<unit>', 'id of the unit')
    .requiredOption('-c, --config <file>', 'config file')
    .option('--member <middle|N>', 'which member', memberOption, 'middle')
    .option('--now <instant>', 'pretend that it is this instant', instantOption)
    .option('--json', 'answer as drainby.explain/1')
    .action(async (unit: string, options: Options) => {
      const config = loadConfig(options.config);
      const request = { config, surroundings: io, now: options.now ?? io.now(), signal: stopSignal() };
      const answer = await explain({ ...request, unit, member: options.member });
      if (options.json) writeJson(io, answer);
      else {
        const timeZone = placeOf(config, unit)?.timeZone ?? 'UTC';
        io.write(explainText(answer, { temperature: config.display.temperature, timeZone }));
      }
      finish(answer.problem === undefined ? EXIT.ok : EXIT.store);
    });
}

function placeOf(config: Config, unit: string): PlaceConfig | undefined {
  const place = config.units.find((u) => u.id === unit)?.place;
  return config.places.find((p) => p.id === place);
}

function memberOption(text: string): 'middle' | number {
  if (text === 'middle') return text;
  if (/^\d+$/.test(text)) return Number(text);
  throw new UsageError(`"${text}" is no member. Write middle or a number from 0.`);
}
