/** Where in its work a process is killed, drawn by a seed. */
import type { Random } from '../support/random.ts';
import { STEPS, type Step } from './mail-server.ts';

/** Where a child is to be killed. */
export type Moment =
  /** Dead at a statement of the nth transaction of a kind: before one, before the commit, or right after it. */
  | {
      readonly in: 'round' | 'claim' | 'settle' | 'mark';
      readonly nth: number;
      readonly after: number | 'commit';
    }
  /** At a step of the nth conversation with the mail server that comes to it. */
  | { readonly step: Step; readonly nth: number; readonly afterMs: number }
  /** So long after a line of this kind, wherever it then is. */
  | { readonly line: string; readonly nth: number; readonly afterMs: number };

/** Kinds of moments in words, for the count. */
export function nameOf(moment: Moment): string {
  if ('step' in moment) return `mail: ${moment.step}`;
  if ('line' in moment) return `some time after: ${moment.line}`;
  const { after } = moment;
  return `${moment.in}: ${after === 'commit' ? 'committed' : after === 0 ? 'begun' : 'within'}`;
}

/** For a moment that does not come, such as that of a mark when there is none: after so many rounds. */
export const INSTEAD: Moment & { readonly line: string } = { line: 'finished', nth: 2, afterMs: 0 };

/** Half of the moments lie in the database, the others in conversations and anywhere. */
export function momentFrom(random: Random): Moment {
  const nth = random.pick([1, 1, 2, 3]);
  if (random.chance(0.45)) {
    const kind = random.pick([
      'round',
      'round',
      'round',
      'claim',
      'claim',
      'settle',
      'settle',
      'mark',
    ] as const);
    const after = random.pick([
      0,
      'commit',
      random.whole(1, 3),
      random.whole(2, 12),
      random.whole(4, 40),
    ] as const);
    // The second round of a child is the last that it comes to.
    return { in: kind, nth: kind === 'mark' || kind === 'round' ? 1 : nth, after };
  }
  if (random.chance(0.75)) {
    const step = random.pick([...STEPS, 'dot', 'taken'] as const);
    return { step, nth, afterMs: step === 'taken' ? random.whole(0, 12) : 0 };
  }
  return { line: random.pick(['round', 'finished', 'marked']), nth: 1, afterMs: random.whole(0, 60) };
}
