import type { Block, Body, Row, Section } from './body.ts';
import { ANSWER_SCHEME } from './message.ts';
import { wrap } from './wrap.ts';

/** Fits every mail program, quoted once or twice. */
const WIDTH = 72;
const PLAIN = { first: '', rest: '', width: WIDTH };

/** The plain-text body: wrapped at 72 columns, one blank line between blocks, no trailing blanks. */
export function textOf(body: Body): string {
  const lead = wrap(`${body.lead.headline} ${body.lead.rest}`.trim(), PLAIN);
  return `${[lead, ...body.sections.map(sectionText)].join('\n\n')}\n`;
}

function sectionText(section: Section): string {
  const blocks = section.blocks
    .map(blockText)
    .filter((text) => text !== '')
    .join('\n\n');
  if (section.heading === null) return blocks;
  const heading = wrap(section.heading, PLAIN);
  const width = Math.max(...heading.split('\n').map((line) => line.length));
  return `${heading}\n${'-'.repeat(width)}\n${blocks}`;
}

function blockText(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
      return wrap(block.text, PLAIN);
    case 'command':
      return commandText(block.text);
    case 'rows':
      return rowsText(block.rows);
    case 'list':
      return block.items.map((item) => wrap(item, { first: '- ', rest: '  ', width: WIDTH })).join('\n');
    case 'steps':
      return block.items.map(stepText).join('\n');
    case 'answers':
      return block.items.map(({ code, label }) => `${label}:\n  ${ANSWER_SCHEME}${code}`).join('\n');
    case 'picture':
      return '';
  }
}

/** A line that goes on ends so that a shell takes it as one command. */
function commandText(text: string): string {
  const goesOn = ' \\';
  const lines = wrap(text, { first: '    ', rest: '      ', width: WIDTH - goesOn.length });
  return lines.replaceAll('\n', `${goesOn}\n`);
}

function stepText(item: string, index: number): string {
  return wrap(item, { first: `${index + 1}. `.padStart(4), rest: '    ', width: WIDTH });
}

function rowsText(rows: readonly Row[]): string {
  const width = Math.max(...rows.map((row) => row.label.length)) + 2;
  return rows
    .map((row) =>
      wrap(row.value, { first: `${row.label}:`.padEnd(width), rest: ' '.repeat(width), width: WIDTH }),
    )
    .join('\n');
}
