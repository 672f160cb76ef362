/**
 * A service's own words, fit to be printed: one line without control characters, marks that reorder what is read, or
 * half a character at the cut.
 *
 * @param length at most so many UTF-16 units
 */
export function printable(text: string, length: number): string {
  return text
    .trim()
    .slice(0, length)
    .replace(/[\p{Cc}\p{Cf}\p{Cs}\s]+/gu, ' ')
    .trim();
}
