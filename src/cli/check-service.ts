/** The end of a place's water, in the table of `check`. */
import type { CheckAnswer } from '../app/check-answer.ts';
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import { formatNear } from '../quantity/local-time.ts';

interface Shown {
  readonly asOf: EpochSeconds;
  readonly timeZone: string;
}

/** Empty: nothing ends within the window, or it is not known when. */
export function serviceWords(
  { service }: Pick<CheckAnswer['units'][number], 'service'>,
  shown: Shown,
): string {
  if (service === undefined) return '';
  const { waterShutAt, dumpShutAt, fillBy, dumpBy } = service;
  return [
    ended('The water of the place is shut', waterShutAt, {
      ...shown,
      work: 'fill the fresh tank',
      by: fillBy,
    }),
    ended('Its dump is closed', dumpShutAt, { ...shown, work: 'dump the tanks', by: dumpBy }),
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

function ended(
  what: string,
  at: string | null,
  { work, by, asOf, timeZone }: Shown & { readonly work: string; readonly by: string | null },
): string {
  const when = parseInstant(at ?? '');
  if (when === null) return '';
  const start = parseInstant(by ?? '');
  const before = start === null ? '' : `: ${work}, start by ${formatNear(start, asOf, timeZone)}`;
  return `${what} ${formatNear(when, asOf, timeZone)}${before}.`;
}
