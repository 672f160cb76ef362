/** Where a line must not break: a number and its unit, `1 h 30 min`, `Thu 26 Nov`. */
const TIED =
  /(?<=\d) (?=(?:[%°]|(?:min|h|s|gal|psi|bar|ft|m|L|V|W|kW|qt)\b))|(?<=\d h) (?=\d+ min)|(?<=\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)) (?=\d)|(?<=\d) (?=(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)/g;

export interface Frame {
  /** Before the first line, and before every other. */
  readonly first: string;
  readonly rest: string;
  readonly width: number;
}

/** Lines of at most `width` columns; what is tied stays together, what is longer than a line is cut. */
export function wrap(text: string, { first, rest, width }: Frame): string {
  const lines: string[] = [];
  let line = '';
  for (const word of words(text, width - Math.max(first.length, rest.length))) {
    const prefix = lines.length === 0 ? first : rest;
    if (line !== '' && columns(prefix) + columns(line) + 1 + columns(word) > width) {
      lines.push(prefix + line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, (lines.length === 0 ? first : rest) + line].join('\n');
}

/** With blanks that do not break where a line must not. */
export function tied(text: string): string {
  return text.replace(TIED, '\u00A0');
}

/** Words, what is tied kept together, and whatever is longer than a line cut into lines. */
function words(text: string, longest: number): readonly string[] {
  return tied(text)
    .split(' ')
    .flatMap((word) => cut(word.replaceAll('\u00A0', ' '), longest));
}

function cut(word: string, longest: number): readonly string[] {
  const characters = Array.from(word);
  if (characters.length <= longest) return [word];
  const pieces: string[] = [];
  for (let start = 0; start < characters.length; start += longest) {
    pieces.push(characters.slice(start, start + longest).join(''));
  }
  return pieces;
}

function columns(text: string): number {
  return Array.from(text).length;
}
