/** Supplies that were there lately: what a hot tank still gives goes by them (docs/decisions.md, the heater's fittings). */
import { describe, expect, it } from 'vitest';
import { BEFORE, LATELY, Lately } from '../../src/model/lately.ts';
import { GAS, SHORE } from '../../src/model/zone-track.ts';

const HOUR = 3600;

describe('a supply that stopped', () => {
  it('is marked for six hours as lately there, for six more as there before, and then no more', () => {
    const lately = new Lately();
    lately.use(GAS, 10 * HOUR);
    const marked = [10, 15.99, 16, 21.99, 22, 100].map((hour) => lately.marks(0, hour * HOUR));
    expect(marked).toEqual([GAS << LATELY, GAS << LATELY, GAS << BEFORE, GAS << BEFORE, 0, 0]);
  });

  it('is told from another that is still there', () => {
    const lately = new Lately();
    lately.use(GAS | SHORE, 2 * HOUR);
    lately.use(SHORE, 5 * HOUR);
    expect(lately.marks(SHORE, 5 * HOUR)).toBe(SHORE | (GAS << LATELY));
  });

  it('changes what it gives six and twelve hours later', () => {
    const lately = new Lately();
    expect(lately.nextEndS(0)).toBe(Infinity);
    lately.use(GAS, HOUR);
    expect(lately.nextEndS(HOUR)).toBe(7 * HOUR);
    expect(lately.nextEndS(7 * HOUR)).toBe(13 * HOUR);
    expect(lately.nextEndS(13 * HOUR)).toBe(Infinity);
  });

  it('is nothing to the next member', () => {
    const lately = new Lately();
    lately.use(GAS | SHORE, HOUR);
    lately.start();
    expect(lately.marks(0, HOUR)).toBe(0);
    expect(lately.nextEndS(0)).toBe(Infinity);
  });
});
