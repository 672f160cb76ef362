/**
 * The default alphabet of text messages: 3GPP TS 23.038, 6.2.1 (GSM 7 bit). One letter outside it makes a message
 * twice as long, or costs a second one, so none is let through.
 */
const BASIC =
  '@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !"#¤%&\'()*+,-./0123456789:;<=>?¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà';

/** These take an escape and count twice. */
const EXTENSION = '\f^{}\\[~]|€';

/** What is written otherwise, and does not come apart into a letter and its marks. */
const OTHERWISE: ReadonlyMap<string, string> = new Map([
  ['−', '-'],
  ['–', '-'],
  ['—', '-'],
  ['‑', '-'],
  ['·', '.'],
  ['•', '-'],
  ['…', '...'],
  ['’', "'"],
  ['‘', "'"],
  ['`', "'"],
  ['´', "'"],
  ['“', '"'],
  ['”', '"'],
  ['„', '"'],
  ['«', '"'],
  ['»', '"'],
  ['×', 'x'],
  ['°', ''],
  ['[', '('],
  [']', ')'],
  ['{', '('],
  ['}', ')'],
  ['\\', '/'],
  ['|', '/'],
  ['^', '-'],
  ['~', '-'],
  ['€', 'EUR'],
  ['ł', 'l'],
  ['Ł', 'L'],
  ['đ', 'd'],
  ['Đ', 'D'],
  ['ð', 'd'],
  ['Ð', 'D'],
  ['þ', 'th'],
  ['Þ', 'Th'],
  ['ı', 'i'],
  ['œ', 'oe'],
  ['Œ', 'OE'],
  ['ħ', 'h'],
  ['ŋ', 'n'],
]);

/** Seven-bit places that a text takes; null: it holds a letter outside of the alphabet. */
export function septets(text: string): number | null {
  let count = 0;
  for (const letter of text) {
    if (BASIC.includes(letter)) count += 1;
    else if (EXTENSION.includes(letter)) count += 2;
    else return null;
  }
  return count;
}

/** The text in the basic alphabet, on one line; `?` stands for what has no way of being written in it. */
export function gsmText(text: string): string {
  const letters = Array.from(text.normalize('NFC')).map(gsmLetter).join('');
  return letters.replaceAll(/\s+/g, ' ').trim();
}

function gsmLetter(letter: string): string {
  if (/\s/u.test(letter)) return ' ';
  if (BASIC.includes(letter)) return letter;
  const otherwise = OTHERWISE.get(letter);
  if (otherwise !== undefined) return otherwise;
  const bare = letter.normalize('NFKD').replaceAll(/\p{M}/gu, '');
  const known = Array.from(bare).map((one) => OTHERWISE.get(one) ?? one);
  return bare !== '' && known.every((one) => septets(one) !== null) ? known.join('') : '?';
}
