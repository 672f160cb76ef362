/** Which units are left with what their work may leave. */
import { expect, it } from 'vitest';
import { settled } from '../../src/app/settled.ts';

const TOLERANCE = { nothing: 0.05, 'keep-warm': 0.05, 'drain-part': 0.05, drain: 0.25, winterize: 0.3 };
const CIRCUITS = ['cold', 'tank-fresh', 'trap-sink'];

function accepted(
  states: Readonly<Record<string, string>>,
  candidates: readonly object[] = [],
): number | undefined {
  const circuits = Object.fromEntries(
    CIRCUITS.map((circuit) => [
      circuit,
      { state: { kind: states[circuit] ?? 'drained', quality: 'well' }, since: null, by: null },
    ]),
  );
  const unit = {
    policy: { toleranceFrom: 'stated' },
    model: { parts: CIRCUITS.map((circuit) => ({ circuit })) },
  };
  const all = [{ action: 'nothing' }, ...candidates].map((candidate) => ({ candidate }));
  const question = { unit, water: { all: circuits['cold'], circuits } };
  return settled(all as never, question as never, TOLERANCE)[0]?.candidate.accepted;
}

it('drained or winterized it is, whatever stands in its traps', () => {
  expect(accepted({ 'trap-sink': 'wet' })).toBe(0.25);
  expect(accepted({ cold: 'antifreeze', 'trap-sink': 'antifreeze' })).toBe(0.3);
});

it('a tank that is still full is not, though ice leaves no work to offer', () => {
  expect(accepted({ 'tank-fresh': 'wet' })).toBeUndefined();
  expect(accepted({ cold: 'unknown' })).toBeUndefined();
});

it('what can still be drained, or winterized in part, is not', () => {
  expect(accepted({}, [{ action: 'drain' }])).toBeUndefined();
  expect(accepted({ cold: 'blown' }, [{ action: 'winterize', circuits: ['trap-sink'] }])).toBeUndefined();
});
