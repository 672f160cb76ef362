import { describe, expect, it } from 'vitest';
import { printable } from '../../src/forecast/printable.ts';

/** Characters by their categories in Unicode: Cc control, Cf format, Cs half of a pair. */
describe('what a service says', () => {
  it.each([
    ['control characters', 'a\u0000\u001b[31m\r\nb', 'a [31m b'],
    ['marks that turn what is read round, or cannot be seen', 'a\u202Eb\u2066c\u200Bd\uFEFF', 'a b c d'],
    ['halves of characters', 'a\uD83E b\uDD76', 'a b'],
    ['blanks in a row', '  a \u2028\u00A0 b  ', 'a b'],
  ])('is printed without %s', (_, text, shown) => {
    expect(printable(text, 40)).toBe(shown);
  });

  it('is cut without leaving half a character', () => {
    expect(printable('abc🥶d', 4)).toBe('abc');
    expect(printable('abc🥶d', 5)).toBe('abc🥶');
  });
});
