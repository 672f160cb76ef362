/** How a unit stands, for people. */
import type { CheckAnswer } from '../app/check-answer.ts';
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import { formatNear } from '../quantity/local-time.ts';

type UnitAnswer = CheckAnswer['units'][number];

const STATE_WORDS: Readonly<Record<UnitAnswer['waterState'], string>> = {
  wet: 'In use',
  unknown: 'Unknown, taken as in use',
  drained: 'Drained',
  blown: 'Winterized with air',
  antifreeze: 'Winterized with antifreeze',
};

/** The state of the whole unit, as the start of a sentence; what somebody keeps up counts, so it is shown. */
export function stateWords(
  { waterState, keptWarmSince }: Pick<UnitAnswer, 'waterState' | 'keptWarmSince'>,
  { asOf, timeZone }: { readonly asOf: EpochSeconds; readonly timeZone: string },
): string {
  if (keptWarmSince === undefined) return STATE_WORDS[waterState];
  const since = parseInstant(keptWarmSince ?? '');
  return `${STATE_WORDS[waterState]}, kept warm${since === null ? '' : ` since ${formatNear(since, asOf, timeZone)}`}`;
}
