import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import {
  FLUIDS,
  STRONGEST_PERCENT,
  burstPointC,
  fluidCautions,
  freezingPointC,
  litresNeeded,
  mixedPercent,
  percentFor,
} from '../../src/model/antifreeze.ts';

describe('the tables', () => {
  it.each(FLUIDS)('start at 0 °C and never rise with more %s', (fluid) => {
    for (const point of [(p: number) => freezingPointC(fluid, p), (p: number) => burstPointC(p, fluid)]) {
      expect(point(0)).toBeCloseTo(0, 12);
      for (let percent = 0; percent < STRONGEST_PERCENT; percent += 0.5) {
        expect(point(percent + 0.5)).toBeLessThanOrEqual(point(percent));
        // Beyond −40 °C the makers' guides fall in one step, where slush no longer expands.
        if (percent < 35) expect(point(percent) - point(percent + 0.5)).toBeLessThan(1.6);
      }
    }
  });

  it('claim nothing beyond the last row of the handbook', () => {
    expect(freezingPointC('glycol', 60)).toBe(freezingPointC('glycol', 50));
  });

  it.each([61, 100, -1, Number.NaN])('refuse %d %%', (percent) => {
    expect(() => burstPointC(percent)).toThrow(ModelError);
    expect(() => freezingPointC('ethanol', percent)).toThrow(/percent by volume, 0 to 60/);
  });
});

describe('mixing', () => {
  it('keeps the amount of glycol', () => {
    const percent = mixedPercent({ fluidPercent: 50, addedLitres: 3, leftLitres: 2, leftPercent: 10 });
    expect(percent * 5).toBeCloseTo(50 * 3 + 10 * 2, 12);
  });

  it.each([
    { addedLitres: 0, leftLitres: 0 },
    { addedLitres: -1, leftLitres: 2 },
    { addedLitres: 1, leftLitres: Number.NaN },
  ])('refuses amounts that cannot be: $addedLitres and $leftLitres', (amounts) => {
    expect(() => mixedPercent({ fluidPercent: 28, ...amounts })).toThrow(ModelError);
  });
});

describe('what is needed', () => {
  it.each([
    [{ limit: 'burst', targetC: -12 }, 28],
    [{ limit: 'freezing', targetC: -9 }, 50],
    [{ limit: 'freezing', targetC: -9, fluid: 'ethanol' }, 40],
  ] as const)('poured in reaches the target %o', (target, fluidPercent) => {
    const litres = litresNeeded({ ...target, fluidPercent, leftLitres: 1.2 }) ?? Number.NaN;
    const percent = mixedPercent({ fluidPercent, addedLitres: litres, leftLitres: 1.2 });
    const fluid = 'fluid' in target ? target.fluid : 'glycol';
    const reached = target.limit === 'burst' ? burstPointC(percent, fluid) : freezingPointC(fluid, percent);
    expect(reached).toBeCloseTo(target.targetC, 9);
    expect(litres).toBeGreaterThan(0.2);
  });

  it('is the inverse of the tables where they fall', () => {
    for (let percent = 1; percent < 50; percent += 3) {
      expect(percentFor({ limit: 'freezing', targetC: freezingPointC('glycol', percent) })).toBeCloseTo(
        percent,
        9,
      );
    }
    expect(percentFor({ limit: 'freezing', targetC: 3 })).toBe(0);
  });

  it('is nothing where the circuit is strong enough, and no amount where the fluid is too weak', () => {
    const target = { limit: 'burst', targetC: -20, leftLitres: 1 } as const;
    expect(litresNeeded({ ...target, fluidPercent: 28, leftPercent: 27 })).toBe(0);
    expect(litresNeeded({ ...target, fluidPercent: 20 })).toBeNull();
    expect(litresNeeded({ ...target, targetC: -60, fluidPercent: 60 })).toBeNull();
    expect(litresNeeded({ ...target, leftLitres: 0, fluidPercent: 28 })).toBe(0);
    expect(litresNeeded({ ...target, leftLitres: 0, fluidPercent: 20 })).toBeNull();
  });
});

it('says that a glycol refractometer reads alcohol wrongly, and nothing of glycol', () => {
  expect(fluidCautions('ethanol').join(' ')).toMatch(/refractometer/);
  expect(fluidCautions('glycol')).toEqual([]);
});
