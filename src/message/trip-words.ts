import type { Overload } from '../model/post-load.ts';

/** What cannot be on at once, and what is taken of it, as a sentence. */
export function trippedWords(overload: Overload): string {
  return `The post cannot carry what is switched on: ${loadWords(overload)}. It is counted as tripped from now on.`;
}

export function loadWords({ askedW, borneW }: Overload): string {
  return `${Math.round(askedW)} W asked, ${Math.round(borneW)} W borne`;
}

/** What a person can do about it. */
export const UNTRIP = 'Switch loads off and say so under power and heat.';
