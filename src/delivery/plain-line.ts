/** Control characters, line and paragraph separators, and marks that turn the direction of writing around. */
const UNSEEN = /[\p{Cc}\p{Zl}\p{Zp}\u200E\u200F\u202A-\u202E\u2066-\u2069]+/gu;

/**
 * Text for one line: a header, a name. What could end the line or pretend to be another one becomes a space.
 */
export function plainLine(text: string): string {
  return text.replace(UNSEEN, ' ').replace(/ {2,}/g, ' ').trim();
}

/** Text of several lines for a terminal: nothing but tabs and line ends may command it. */
export function plainText(text: string): string {
  return text
    .split(/\r\n|\r|\n/)
    .map((line) => line.replace(/(?!\t)[\p{Cc}\p{Zl}\p{Zp}]/gu, ''))
    .join('\n');
}
