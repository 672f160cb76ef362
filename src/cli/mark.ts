import { Argument, Command, Option } from 'commander';
import { MARK_STATES, isIntent, type MarkState } from '../app/mark-request.ts';
import { isMainLine } from '../app/marked-water.ts';
import { mark } from '../app/mark.ts';
import { untilOf } from '../app/until.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT, UsageError } from '../errors.ts';
import { wrap } from '../message/wrap.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { isoSecond } from '../quantity/instant.ts';
import { complainIfEmpty, instantOption, type Finish, type Io } from './io.ts';

const COLUMNS = 80;

interface Options {
  readonly config: string;
  readonly circuit: readonly string[];
  readonly method?: 'antifreeze' | 'air';
  readonly quality?: 'well' | 'quick';
  readonly concentration?: number;
  readonly fluid?: 'glycol' | 'ethanol';
  readonly traps?: boolean;
  readonly withoutColour: readonly string[];
  readonly used?: number;
  readonly until?: string;
  readonly seen?: true;
  readonly said?: true;
  readonly at?: number;
  readonly now?: number;
  readonly by?: string;
}

export function markCommand(io: Io, finish: Finish): Command {
  return new Command('mark')
    .description(
      'Say what was done to a unit, that it was checked and is whole, or what you will do about it. Works while the daemon runs.',
    )
    .argument('<unit>', 'id of the unit')
    .addArgument(new Argument('<state>', 'what it is now').choices(MARK_STATES))
    .requiredOption('-c, --config <file>', 'config file')
    .option('--circuit <id>', 'only this circuit (may be repeated)', repeated, [])
    .addOption(new Option('--method <method>', 'how it was winterized').choices(['antifreeze', 'air']))
    .addOption(new Option('--quality <quality>', 'how it was drained').choices(['well', 'quick']))
    .option('--concentration <percent>', 'antifreeze as measured at the last tap', percentOption)
    .addOption(new Option('--fluid <fluid>', 'what the antifreeze is made of').choices(['glycol', 'ethanol']))
    .option('--traps', 'with --method air: antifreeze is in every trap, the toilets and the pump, too')
    .option(
      '--without-colour <circuit>',
      'with antifreeze: no colour was seen at this circuit (may be repeated)',
      repeated,
      [],
    )
    .option('--used <volume>', 'antifreeze that went in, such as "2 gal"', volumeOption)
    .option('--until <day>', 'with stop and on-my-way: a day such as 2026-12-01, or an instant')
    .addOption(new Option('--seen', 'with your own eyes').conflicts('said'))
    .addOption(new Option('--said', 'by somebody (the default)').conflicts('seen'))
    .option('--at <instant>', 'when it was done, if not now', instantOption)
    .option('--now <instant>', 'pretend that it is this instant', instantOption)
    .option('--by <person>', 'who did it')
    .action(async (unit: string, state: MarkState, options: Options) => {
      const now = options.now ?? io.now();
      const at = options.at ?? now;
      const config = loadConfig(options.config);
      complainIfEmpty(io, config);
      const until = options.until === undefined ? null : untilOf(config, unit, options.until);
      const remarks = await mark({
        config,
        unit,
        state,
        circuits: options.circuit,
        method: options.method ?? null,
        quality: options.quality ?? null,
        concentrationPercent: options.concentration ?? null,
        ...(options.fluid === undefined ? {} : { fluid: options.fluid }),
        ...(options.traps === undefined ? {} : { traps: options.traps }),
        withoutColour: options.withoutColour,
        ...(options.used === undefined ? {} : { usedLitres: options.used }),
        ...(until === null ? {} : { until }),
        basis: options.seen === true ? 'seen' : 'said',
        at,
        now,
        by: options.by ?? null,
      });
      const which = options.circuit.length === 0 ? '' : ` (${options.circuit.join(', ')})`;
      const isShort = options.withoutColour.some(isMainLine);
      io.write(`${unit}${which}: ${saidLine(isShort ? 'not yet winterized' : state, { at, until })}.\n`);
      for (const remark of remarks) io.write(`${wrap(remark, { first: '', rest: '', width: COLUMNS })}\n`);
      finish(EXIT.ok);
    });
}

function saidLine(
  state: MarkState | 'not yet winterized',
  { at, until }: { at: number; until: number | null },
): string {
  if (until !== null) return `${state} until ${isoSecond(until)}`;
  const isPassing = state === 'not yet winterized' || isIntent(state);
  return isPassing ? `${state} as of ${isoSecond(at)}` : `${state} since ${isoSecond(at)}`;
}

function volumeOption(text: string): number {
  const result = parseQuantity('volume', text);
  if (result.ok && result.value > 0) return result.value;
  throw new UsageError(`"${text}" is no amount of antifreeze. Write it like "2 gal" or "8 L".`);
}

function repeated(id: string, ids: readonly string[]): readonly string[] {
  return [...ids, id];
}

/** Whether antifreeze can be so strong, the use itself says. */
function percentOption(text: string): number {
  const percent = /^\d+(\.\d+)?%?$/.test(text) ? Number(text.replace(/%$/, '')) : Number.NaN;
  if (!Number.isNaN(percent)) return percent;
  throw new UsageError(`"${text}" is no concentration. Write a percentage by volume, such as 28.`);
}
