import { Command } from 'commander';
import { score } from '../app/score.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT } from '../errors.ts';
import { instantOption, writeJson, type Finish, type Io } from './io.ts';
import { scoreText } from './score-text.ts';

interface Options {
  readonly config: string;
  readonly json?: true;
  readonly now?: number;
}

export function scoreCommand(io: Io, finish: Finish): Command {
  return new Command('score')
    .description(
      'How good the forecasts of a place were, against readings, a station or the archive, and how good the advice was. Asks no service.',
    )
    .argument('<place>', 'id of the place')
    .requiredOption('-c, --config <file>', 'config file')
    .option('--json', 'answer as drainby.score/1')
    .option('--now <instant>', 'pretend that it is this instant', instantOption)
    .action(async (place: string, options: Options) => {
      const config = loadConfig(options.config);
      const answer = await score({ config, place, now: options.now ?? io.now() });
      if (options.json) writeJson(io, answer);
      else io.write(scoreText(answer, config.display.temperature));
      finish(EXIT.ok);
    });
}
