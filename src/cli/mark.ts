import { Argument, Command, Option } from 'commander';
import { MARK_STATES, type MarkState } from '../app/mark-request.ts';
import { mark } from '../app/mark.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { wrap } from '../message/wrap.ts';
import { isoSecond } from '../quantity/instant.ts';
import { instantOption, type Finish, type Io } from './io.ts';

const COLUMNS = 80;

interface Options {
  readonly config: string;
  readonly circuit: readonly string[];
  readonly method?: 'antifreeze' | 'air';
  readonly quality?: 'well' | 'quick';
  readonly concentration?: number;
  readonly fluid?: 'glycol' | 'ethanol';
  readonly traps?: boolean;
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
    .addOption(new Option('--fluid <fluid>', 'what the antifreeze is made of').choices(['glycol', 'ethanol']))
    .option('--traps', 'with --method air: antifreeze is in every trap, the toilets and the pump, too')
    .option('--at <instant>', 'when it was done, if not now', instantOption)
    .option('--now <instant>', 'pretend that it is this instant', instantOption)
    .option('--by <person>', 'who did it')
    .action(async (unit: string, state: MarkState, options: Options) => {
      const now = options.now ?? io.now();
      const at = options.at ?? now;
      const remarks = await mark({
        config: loadConfig(options.config),
        unit,
        state,
        circuits: options.circuit,
        method: options.method ?? null,
        quality: options.quality ?? null,
        concentrationPercent: options.concentration ?? null,
        ...(options.fluid === undefined ? {} : { fluid: options.fluid }),
        ...(options.traps === undefined ? {} : { traps: options.traps }),
        at,
        now,
        by: options.by ?? null,
      });
      const which = options.circuit.length === 0 ? '' : ` (${options.circuit.join(', ')})`;
      io.write(`${unit}${which}: ${state} since ${isoSecond(at)}.\n`);
      for (const remark of remarks) io.write(`${wrap(remark, { first: '', rest: '', width: COLUMNS })}\n`);
      finish(EXIT.ok);
    });
}

/** Whether antifreeze can be so strong, the use itself says. */
function percentOption(text: string): number {
  const percent = /^\d+(\.\d+)?%?$/.test(text) ? Number(text.replace(/%$/, '')) : Number.NaN;
  if (!Number.isNaN(percent)) return percent;
  throw new UsageError(`"${text}" is no concentration. Write a percentage by volume, such as 28.`);
}
