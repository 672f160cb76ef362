/** Why more is advised than would do within the window. */
import { expect, it } from 'vitest';
import type { Candidate } from '../../src/decision/candidate.ts';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { throughCold } from '../../src/decision/through-cold.ts';
import { EPOCH } from './timeline.ts';

const { tolerance } = DEFAULT_POLICY;
const ENDS = EPOCH + 5 * 86_400;
const WINTERIZE = { action: 'winterize', reasonCode: 'cold-ahead' } as const;

function of(action: Candidate['action'], chance: number, chanceInSpell?: number): Candidate {
  const spell = chanceInSpell === undefined ? {} : { chanceInSpell, spellEndsAt: ENDS };
  return { action, method: null, chance, ...spell };
}

const NOTHING = of('nothing', 0.6, 1);
const LAST = of('winterize', 0, 0);

it('names what would do within the window and not to the end of the cold', () => {
  const candidates = [NOTHING, of('keep-warm', 0.02, 0.14), of('drain', 0.04, 0.3), LAST];
  expect(throughCold(candidates, WINTERIZE, tolerance)).toEqual({
    until: ENDS,
    chances: { 'keep-warm': 0.14, drain: 0.3 },
  });
});

it('leaves out what would not do within the window either, what would do in the cold, and what is stronger', () => {
  const candidates = [NOTHING, of('keep-warm', 0.4, 0.5), of('drain', 0.04, 0.3), LAST];
  expect(throughCold(candidates, WINTERIZE, tolerance)?.chances).toEqual({ drain: 0.3 });
  const enough = [NOTHING, of('keep-warm', 0.02, 0.04), of('drain', 0.04, 0.3), LAST];
  expect(throughCold(enough, { ...WINTERIZE, action: 'keep-warm' }, tolerance)).toBeNull();
});

it('is no reason where the window ends mild, nor of what is held or would not suffice', () => {
  const mild = [of('nothing', 0.6), of('drain', 0.04), of('winterize', 0)];
  expect(throughCold(mild, WINTERIZE, tolerance)).toBeNull();
  const candidates = [NOTHING, of('drain', 0.04, 0.3), LAST];
  expect(throughCold(candidates, { ...WINTERIZE, reasonCode: 'held' }, tolerance)).toBeNull();
});
