/** Text in 7-bit characters: what every gateway and telephone shows as it was written. */

/** Signs that decomposition does not turn into ASCII. */
const IN_ASCII: Readonly<Record<string, string>> = {
  '−': '-',
  '–': '-',
  '—': '-',
  '‑': '-',
  '‘': "'",
  '’': "'",
  '“': '"',
  '”': '"',
  '°': '',
  '×': 'x',
  '→': '->',
  '⁄': '/',
  ß: 'ss',
  ø: 'o',
  Ø: 'O',
  æ: 'ae',
  Æ: 'AE',
  ł: 'l',
  Ł: 'L',
  đ: 'd',
  Đ: 'D',
};

/** One line of printable ASCII; a character that has no likeness becomes a question mark, so that the gap shows. */
export function sevenBitLine(text: string): string {
  return text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/[^\x20-\x7E]/gu, (sign) => IN_ASCII[sign] ?? sign)
    .replaceAll(/[\s\p{C}]+/gu, ' ')
    .replaceAll(/[^\x20-\x7E]/gu, '?')
    .trim();
}

/** Not longer than `longest`, cut between words where that can be; what was cut off shows. */
export function cutLine(text: string, longest: number): string {
  if (text.length <= longest) return text;
  const room = text.slice(0, longest - 2);
  const space = room.lastIndexOf(' ');
  return `${(space > longest / 2 ? room.slice(0, space) : room).trimEnd()}..`;
}
