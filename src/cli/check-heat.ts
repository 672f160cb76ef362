/** How long heat lasts and the unit does without it, in a line of the check table. */
import type { CheckAnswer } from '../app/check-answer.ts';
import { capital, holdOutWords, shortGasWords, verb } from '../message/words.ts';
import { parseInstant } from '../quantity/instant.ts';
import { formatNear } from '../quantity/local-time.ts';

type UnitAnswer = CheckAnswer['units'][number];
type Stop = NonNullable<UnitAnswer['holdOut']>;

export interface HeatReader {
  readonly asOf: string;
  readonly timeZone: string;
}

/** Empty where there is no heat, or nothing to say of it. */
export function heatWords(unit: UnitAnswer, reader: HeatReader): string {
  const { heatLasts, heatFails } = unit;
  return [
    until(
      heatLasts?.gasOnBoardUntil,
      reader,
      (at) => `The gas on board lasts until ${at}; have it refilled before.`,
    ),
    until(heatLasts?.gasShortFrom, reader, (at) => `${capital(shortGasWords(at))}.`),
    until(heatLasts?.batteryUntil, reader, (at) => `The battery runs the furnace until ${at}.`),
    ...(heatFails === true ? [FAILS] : stops(unit)),
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

/** Hours of what the heat keeps would be comfort where it does not keep the rest. */
const FAILS = 'The heat does not keep all of it from freezing in this cold.';

function stops(unit: UnitAnswer): readonly string[] {
  const { holdOut, powerCut } = unit;
  return isSame(holdOut, powerCut)
    ? [stop(holdOut, unit, 'If heat or power stops')]
    : [stop(holdOut, unit, 'If the heat stops'), stop(powerCut, unit, 'If the power fails')];
}

/** What cannot run on without power stops with it. */
function isSame(x: Stop | null | undefined, y: Stop | null | undefined): boolean {
  return x?.hours === y?.hours && x?.firstPart === y?.firstPart && x?.stopsAt === y?.stopsAt;
}

function until(
  iso: string | null | undefined,
  { asOf, timeZone }: HeatReader,
  words: (at: string) => string,
): string {
  const [at, now] = [parseInstant(iso ?? ''), parseInstant(asOf)];
  return at === null || now === null ? '' : words(formatNear(at, now, timeZone));
}

function stop(found: Stop | null | undefined, { parts }: UnitAnswer, when: string): string {
  if (found === null || found === undefined || found.hours === null) return '';
  const label = parts?.find((part) => part.id === found.firstPart)?.label ?? found.firstPart;
  return `${when}, it holds out ${holdOutWords(found.hours)} at worst, then the ${label} ${verb(label, 'goes', 'go')}.`;
}
