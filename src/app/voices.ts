/** Which of the services that spoke for a place is believed. Pure. */
import type { SourceError } from '../errors.ts';
import type { Voice } from '../forecast/gather.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { compareForecasts } from '../weather/compare.ts';
import type { Spot } from '../weather/local-correction.ts';

export interface Believed {
  readonly voice: Voice;
  /** Where they differ, and what follows from it. */
  readonly sentences: readonly string[];
  /** Those that two others speak against. */
  readonly refused: readonly SourceError[];
  /** By how much its members are to stand apart at least, since another has colder nights [K]. */
  readonly disagreementK: number;
}

/** @param voices - the first is the one that the place's order of sources would use; at least one */
export function believed(
  voices: readonly [Voice, ...Voice[]],
  at: { readonly spot: Spot; readonly now: EpochSeconds },
): Believed {
  const [first, second, ...rest] = voices;
  if (second === undefined) return { voice: first, sentences: [], refused: [], disagreementK: 0 };
  const { verdict, sentences, disagreementK } = compareForecasts(
    voices.map(({ forecast }) => forecast),
    at,
  );
  if (verdict.kind === 'use')
    return { voice: voices[verdict.index] ?? first, sentences, refused: [], disagreementK };
  const next = believed([second, ...rest], at);
  const said = [verdict.error.message, ...next.sentences];
  return { ...next, sentences: said, refused: [verdict.error, ...next.refused] };
}
