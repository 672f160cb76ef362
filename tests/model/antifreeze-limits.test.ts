/** Antifreeze at its ends: no cold, no water, fluid that is just strong enough. */
import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import {
  READY_TO_USE_PERCENT,
  STRONGEST_PERCENT,
  WEAKEST_PERCENT,
  burstPointC,
  freezingPointC,
  litresNeeded,
  mixedPercent,
  percentFor,
} from '../../src/model/antifreeze.ts';

describe('a percent for a temperature', () => {
  it('is none at 0 °C and above, and some just below', () => {
    expect(percentFor({ limit: 'burst', targetC: 0 })).toBe(0);
    expect(percentFor({ limit: 'freezing', targetC: -0.1 })).toBeGreaterThan(0);
  });

  it('is of glycol unless another fluid is named, less for burst than for ice', () => {
    // Memory: makers rate 28 % to burst at −10 °F. Lange's Handbook: 30 % of glycol freezes at −12.8 °C.
    expect(percentFor({ limit: 'burst', targetC: -23.3 })).toBeCloseTo(28, 6);
    expect(percentFor({ limit: 'freezing', targetC: -12.8 })).toBeCloseTo(30, 6);
    // No table of burst points of ethanol is known: its first ice is taken (Lange's: 32.4 % at −16 °C).
    expect(percentFor({ limit: 'burst', targetC: -16, fluid: 'ethanol' })).toBeCloseTo(32.4, 6);
  });

  it('is unknown beyond the tables', () => {
    // Memory: makers' guides end at 35 % and −60 °F, −51.1 °C; one percent is kept in hand.
    expect(percentFor({ limit: 'burst', targetC: -51.2 })).toBeNull();
    expect(percentFor({ limit: 'burst', targetC: -51.1 })).toBeCloseTo(36, 6);
    expect(percentFor({ limit: 'burst', targetC: -40 })).toBeCloseTo(35, 6);
    expect(percentFor({ limit: 'freezing', targetC: -33.4 })).toBeNull();
    // 60 % of ethanol freezes near −38.4 °C; stronger is not in use.
    expect(percentFor({ limit: 'freezing', targetC: -38, fluid: 'ethanol' })).toBeLessThan(60);
    expect(percentFor({ limit: 'freezing', targetC: -39, fluid: 'ethanol' })).toBeNull();
    expect(() => percentFor({ limit: 'burst', targetC: Number.NaN })).toThrow(ModelError);
  });
});

describe('litres to pour in', () => {
  const target = { limit: 'burst', targetC: -12.2, leftLitres: 2 } as const;

  it('bring two litres of water to 20 % with five of 28 %', () => {
    // 28·5/(5 + 2) = 20, which bursts at 10 °F.
    expect(litresNeeded({ ...target, fluidPercent: 28 })).toBeCloseTo(5, 9);
    // Of what is 10 % already, half.
    expect(litresNeeded({ ...target, fluidPercent: 28, leftPercent: 10 })).toBeCloseTo(2.5, 9);
  });

  it('are none where what is left is strong enough', () => {
    expect(litresNeeded({ ...target, fluidPercent: 28, leftPercent: 25 })).toBe(0);
    expect(litresNeeded({ ...target, fluidPercent: 28, leftPercent: 20 })).toBe(0);
    // In an empty circuit fluid that is just strong enough stays so.
    expect(litresNeeded({ ...target, leftLitres: 0, fluidPercent: 20 })).toBe(0);
  });

  it('are unknown where the fluid is no stronger than what is wanted', () => {
    expect(litresNeeded({ ...target, fluidPercent: 20 })).toBeNull();
    expect(litresNeeded({ ...target, fluidPercent: 19 })).toBeNull();
    // What is left would do, the fluid would not: nothing good comes of pouring.
    expect(litresNeeded({ ...target, fluidPercent: 10, leftPercent: 25 })).toBeNull();
    expect(litresNeeded({ ...target, fluidPercent: 20, leftPercent: 25 })).toBe(0);
  });

  it('are refused for percents that cannot be', () => {
    expect(() => litresNeeded({ ...target, fluidPercent: 61 })).toThrow(ModelError);
    expect(() => litresNeeded({ ...target, fluidPercent: 28, leftPercent: -1 })).toThrow(ModelError);
  });
});

describe('mixing', () => {
  it('takes what is left for water, and needs only one of the two', () => {
    expect(mixedPercent({ fluidPercent: 28, addedLitres: 1, leftLitres: 1 })).toBe(14);
    expect(mixedPercent({ fluidPercent: 28, addedLitres: 1, leftLitres: 0 })).toBe(28);
    expect(mixedPercent({ fluidPercent: 28, addedLitres: 0, leftLitres: 1, leftPercent: 10 })).toBe(10);
  });

  it.each([
    { addedLitres: 3, leftLitres: -1 },
    { addedLitres: 1, leftLitres: 1, fluidPercent: 61 },
    { addedLitres: 1, leftLitres: 1, leftPercent: 61 },
  ])('refuses %o', (of) => {
    expect(() => mixedPercent({ fluidPercent: 28, ...of })).toThrow(ModelError);
  });
});

it('the strongest and the weakest that the tables serve are 60 and 5 %, ready-to-use fluid 28', () => {
  expect([STRONGEST_PERCENT, WEAKEST_PERCENT, READY_TO_USE_PERCENT]).toEqual([60, 5, 28]);
  expect(() => freezingPointC('glycol', 60)).not.toThrow();
  expect(() => freezingPointC('glycol', 60.1)).toThrow(ModelError);
});

it('glycol is meant where nobody names a fluid', () => {
  expect(burstPointC(28)).toBe(burstPointC(28, 'glycol'));
  expect(burstPointC(28, 'ethanol')).toBe(freezingPointC('ethanol', 28));
});
