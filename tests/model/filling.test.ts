/** How strong antifreeze is where it ends up, and the cold that it bears there. By hand. */
import { describe, expect, it } from 'vitest';
import { burstPointC, freezingPointC } from '../../src/model/antifreeze.ts';
import { bearsC, percentIn } from '../../src/model/filling.ts';

describe('antifreeze that nobody measured', () => {
  // Common practice: 2 gal (7.6 L) of 28 % meet the 0.8 L that a good drain leaves: 28 · 7.6 / 8.4.
  it('is thinned in the lines, and not in a trap, whose water it pushes out', () => {
    expect(percentIn('cold', {})).toBeCloseTo(25.333, 3);
    expect(percentIn('heater', { fluid: 'ethanol' })).toBeCloseTo(25.333, 3);
    expect(percentIn('trap-sink', {})).toBe(28);
  });

  // Makers' guides: 24 % bursts nothing to −17.8 °C, 28 % to −23.3; a third of the way is −19.6.
  it('bears what the mixture bears', () => {
    expect(bearsC('cold', {})).toBeCloseTo(-17.8 - (5.5 * 1.3333) / 4, 3);
  });
});

it('antifreeze that was measured counts as it is, in lines and traps', () => {
  expect(percentIn('cold', { concentrationPercent: 28 })).toBe(28);
  expect(percentIn('trap-sink', { concentrationPercent: 12 })).toBe(12);
  expect(bearsC('cold', { concentrationPercent: 28 })).toBe(burstPointC(28));
  expect(bearsC('cold', { concentrationPercent: 28, fluid: 'ethanol' })).toBe(freezingPointC('ethanol', 28));
});

describe('a trap, open at both ends', () => {
  // Lange's: 50 % freezes at −33.3 °C, so fluid of 28 % has 1 − 28/50 of ice there.
  it('bears slush with 0.44 of ice in it', () => {
    expect(bearsC('trap-sink', { concentrationPercent: 28 })).toBeCloseTo(-33.3, 9);
  });

  it('bears nothing that would be almost all ice, and never less than a line', () => {
    // 5 % freezes at −1.1 °C, 10 % at −2.2.
    expect(bearsC('trap-sink', { concentrationPercent: 5 })).toBeGreaterThan(-3);
    for (let percent = 5; percent <= 60; percent++) {
      const trap = bearsC('trap-sink', { concentrationPercent: percent });
      expect(trap, String(percent)).toBeLessThanOrEqual(burstPointC(percent));
      expect(trap, String(percent)).toBeGreaterThanOrEqual(-51.1);
    }
  });

  it('bears no more than a line with ethanol, whose slush nobody has tabled', () => {
    const fluid = { concentrationPercent: 28, fluid: 'ethanol' } as const;
    expect(bearsC('trap-sink', fluid)).toBe(bearsC('cold', fluid));
  });
});
