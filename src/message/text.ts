import type { Block, Body, Row, Section } from './body.ts';

/** Fits every mail program, quoted once or twice. */
const WIDTH = 72;

/** The plain-text body: wrapped at 72 columns, one blank line between blocks, no trailing blanks. */
export function textOf(body: Body): string {
  const lead = wrap(`${body.lead.headline} ${body.lead.rest}`.trim(), { first: '', rest: '' });
  return `${[lead, ...body.sections.map(sectionText)].join('\n\n')}\n`;
}

function sectionText(section: Section): string {
  const blocks = section.blocks.map(blockText).join('\n\n');
  if (section.heading === null) return blocks;
  const heading = wrap(section.heading, { first: '', rest: '' });
  const width = Math.max(...heading.split('\n').map((line) => line.length));
  return `${heading}\n${'-'.repeat(width)}\n${blocks}`;
}

function blockText(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
      return wrap(block.text, { first: '', rest: '' });
    case 'command':
      return wrap(block.text, { first: '    ', rest: '      ' });
    case 'rows':
      return rowsText(block.rows);
    case 'list':
      return block.items.map((item) => wrap(item, { first: '- ', rest: '  ' })).join('\n');
    case 'steps':
      return block.items.map(stepText).join('\n');
  }
}

function stepText(item: string, index: number): string {
  return wrap(item, { first: `${index + 1}. `.padStart(4), rest: '    ' });
}

function rowsText(rows: readonly Row[]): string {
  const width = Math.max(...rows.map((row) => row.label.length)) + 2;
  return rows
    .map((row) => wrap(row.value, { first: `${row.label}:`.padEnd(width), rest: ' '.repeat(width) }))
    .join('\n');
}

/** Where a line must not break: a number and its unit, `1 h 30 min`, `Thu 26 Nov`. */
const TIED =
  /(?<=\d) (?=(?:[%°]|(?:min|h|s|gal|psi|bar|ft|m|L|V|kW)\b))|(?<=\d h) (?=\d+ min)|(?<=\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)) (?=\d)|(?<=\d) (?=(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)/g;

interface Indent {
  readonly first: string;
  readonly rest: string;
}

function wrap(text: string, indent: Indent): string {
  const lines: string[] = [];
  let line = '';
  for (const word of words(text, WIDTH - Math.max(indent.first.length, indent.rest.length))) {
    const prefix = lines.length === 0 ? indent.first : indent.rest;
    if (line !== '' && columns(prefix) + columns(line) + 1 + columns(word) > WIDTH) {
      lines.push(prefix + line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, (lines.length === 0 ? indent.first : indent.rest) + line].join('\n');
}

/** Words, what is tied kept together, and whatever is longer than a line cut into lines. */
function words(text: string, longest: number): readonly string[] {
  return text
    .replace(TIED, '\u00A0')
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
