/** How sure it is, in words and as a number. */
import type { Told } from './body.ts';
import { chanceText, isSingle } from './chance.ts';
import { damageWords } from './reason.ts';
import { capital } from './words.ts';

/** From this chance on it is called so. Our own scale; the number stands beside it. */
const SCALE: readonly (readonly [from: number, words: string])[] = [
  [0.9, 'very likely'],
  [0.66, 'likely'],
  [0.4, 'as likely as not'],
  [0.1, 'possible'],
  [0, 'unlikely'],
];

export function likelihood(chance: number): string {
  return SCALE.find(([from]) => chance >= from)?.[1] ?? 'unlikely';
}

/** `Likely, 73 % chance of damage within 72 h if left as it is.` */
export function sureWords({ facts }: Told): string {
  const { chances, windowHours } = facts;
  const chance = chances?.perAction.nothing;
  if (chances === null || chance === undefined) return 'The chance of damage is not known.';
  const left = `within ${windowHours} h if left as it is`;
  if (isSingle(chances.resolution)) {
    const what = chance >= 0.5 ? `it comes to ${damageWords(facts)}` : `there is no ${damageWords(facts)}`;
    return `By this forecast ${what} ${left}; a single forecast does not say how sure that is.`;
  }
  const shown = chanceText(chance, chances.resolution);
  return `${capital(likelihood(chance))}, ${shown} chance of ${damageWords(facts)} ${left}.`;
}

/** `73 % chance of damage within 72 h`; empty where it is not known. */
export function sureShort({ facts, notice }: Told): string {
  const { chances, windowHours } = facts;
  // What lies beyond the window is no matter of the chance within it.
  const ahead = notice.kind === 'heads-up' ? facts.chanceAhead : undefined;
  const chance = ahead ?? chances?.perAction.nothing;
  if (chances === null || chance === undefined) return '';
  const shown = chanceText(chance, chances.resolution);
  const within = ahead === undefined ? ` within ${windowHours} h` : '';
  return isSingle(chances.resolution) ? shown : `${shown} chance of ${damageWords(facts)}${within}`;
}
