/** Against the engine's own exponential, which is right to a unit in the last place. */
import { describe, expect, it } from 'vitest';
import { decay } from '../../src/model/decay.ts';

describe('decay', () => {
  it('is e^x within 3e-15 of its size, from 0 to where nothing is left', () => {
    let worst = 0;
    for (let x = 0; x > -700; x -= 0.000_937 * (1 - x))
      worst = Math.max(worst, Math.abs(decay(x) / Math.exp(x) - 1));
    expect(worst).toBeLessThan(3e-15);
    expect(worst).toBeGreaterThan(0);
  });

  it.each([0, -0, -700, -701, -750, -1e9, -Infinity, 1e-9, 3, 710, Number.NaN])('is e^x at %s, too', (x) => {
    const value = Math.exp(x);
    if (value > 0 && value < Infinity) expect(decay(x) / value).toBeCloseTo(1, 14);
    else expect(decay(x)).toBe(value);
  });
});
