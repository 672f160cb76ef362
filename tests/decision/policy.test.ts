/** What holds for whoever says nothing, and the minutes of work. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_POLICY, partialMinutes, workMinutes, type Work } from '../../src/decision/policy.ts';

const WORK: Work = { keepWarmMinutes: 20, drainMinutes: 45, winterizeMinutes: 90, travelMinutes: 40 };

// The defaults as docs/configuration.md states them.
it('without a word, five in a hundred is accepted, 25 once drained, and six hours at −4 °C hurt what was drained', () => {
  expect(DEFAULT_POLICY).toMatchObject({
    windowHours: 72,
    tolerance: { nothing: 0.05, 'keep-warm': 0.05, drain: 0.25 },
    sustained: { atC: -4, hours: 6 },
    rule: 'computed',
    marginMinutes: 120,
    daylight: true,
    headsUpChance: 0.5,
  });
});

describe('minutes of work', () => {
  it('are those of the action, without the way', () => {
    expect(workMinutes(WORK, 'nothing')).toBe(0);
    expect(workMinutes(WORK, 'keep-warm')).toBe(20);
    expect(workMinutes(WORK, 'drain')).toBe(45);
    expect(workMinutes(WORK, 'winterize')).toBe(90);
  });

  // Practice: traps alone 5 min; flush line, outside shower and inlet 15.
  it.each([
    [5, ['trap-kitchen']],
    [5, ['trap-kitchen', 'trap-shower']],
    [15, ['flush']],
    [15, ['outside-shower']],
    [15, ['inlet']],
    [15, ['outside-kitchen']],
    [15, ['trap-kitchen', 'flush', 'outside-shower']],
    [90, ['cold']],
    [90, ['trap-kitchen', 'cold']],
    [90, ['flush', 'heater']],
  ] as const)('are %i for %j alone', (minutes, circuits) => {
    expect(partialMinutes(WORK, 'winterize', circuits)).toBe(minutes);
  });

  it('for some circuits are never more than for all', () => {
    const quick = { ...WORK, drainMinutes: 4 };
    expect(partialMinutes(quick, 'drain', ['trap-kitchen'])).toBe(4);
    expect(partialMinutes(quick, 'drain', ['flush'])).toBe(4);
  });
});
