import { Argument, Command, Option } from 'commander';
import { MARK_STATES, mark, type MarkState } from '../app/mark.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { isoSecond } from '../quantity/instant.ts';
import { instantOption, type Finish, type Io } from './io.ts';

interface Options {
  readonly config: string;
  readonly circuit: readonly string[];
  readonly method?: 'antifreeze' | 'air';
  readonly quality?: 'well' | 'quick';
  readonly concentration?: number;
  readonly at?: number;
  readonly now?: number;
  readonly by?: string;
}

export function markCommand(io: Io, finish: Finish): Command {
  return new Command('mark')
    .description(
      'Say what was done to a unit, or that it was checked and is whole. Works while the daemon runs.',
    )
    .argument('<unit>', 'id of the unit')
    .addArgument(new Argument('<state>', 'what it is now').choices(MARK_STATES))
    .requiredOption('-c, --config <file>', 'config file')
    .option(
      '--circuit <id>',
      'only this circuit (may be repeated)',
      (id: string, ids: readonly string[]) => [...ids, id],
      [],
    )
    .addOption(new Option('--method <method>', 'how it was winterized').choices(['antifreeze', 'air']))
    .addOption(new Option('--quality <quality>', 'how it was drained').choices(['well', 'quick']))
    .option('--concentration <percent>', 'antifreeze as measured at the last tap', percentOption)
    .option('--at <instant>', 'when it was done, if not now', instantOption)
    .option('--now <instant>', 'pretend that it is this instant', instantOption)
    .option('--by <person>', 'who did it')
    .action(async (unit: string, state: MarkState, options: Options) => {
      const now = options.now ?? io.now();
      const at = options.at ?? now;
      await mark({
        config: loadConfig(options.config),
        unit,
        state,
        circuits: options.circuit,
        method: options.method ?? null,
        quality: options.quality ?? null,
        concentrationPercent: options.concentration ?? null,
        at,
        now,
        by: options.by ?? null,
      });
      const which = options.circuit.length === 0 ? '' : ` (${options.circuit.join(', ')})`;
      io.write(`${unit}${which}: ${state} since ${isoSecond(at)}.\n`);
      if (state === 'winterized' && options.method === undefined) {
        io.write(
          'No method was given: taken as blown out, traps not done. Add --method antifreeze or air if so.\n',
        );
      }
      finish(EXIT.ok);
    });
}

function percentOption(text: string): number {
  const percent = Number(text.replace(/%$/, ''));
  if (percent > 0 && percent <= 100) return percent;
  throw new UsageError(`"${text}" is no concentration. Write a percentage above 0 and up to 100.`);
}
