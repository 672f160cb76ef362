import type { AnswerLine, Block, Body, Row, Section } from './body.ts';
import { ANSWER_SCHEME, PICTURE_MARK } from './message.ts';
import { DARK, LIGHT } from './palette.ts';
import { tied } from './wrap.ts';

/**
 * The HTML body: one self-contained page without scripts, pictures or anything fetched. Styles stand inline,
 * for mail programs that drop the head; where the head is kept, it adds the colours for dark surroundings.
 */

const FONT = "-apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif";
const MONO = "ui-monospace, 'Cascadia Mono', Menlo, Consolas, monospace";

export const STYLE = {
  body: `margin:0;padding:16px 8px;background-color:${LIGHT.page};color:${LIGHT.ink};font-family:${FONT};font-size:16px;line-height:1.5`,
  paper: `max-width:600px;margin:0 auto;padding:24px 22px 12px;background-color:${LIGHT.paper};color:${LIGHT.ink};border:1px solid ${LIGHT.line};border-radius:6px`,
  lead: `margin:0 0 20px;padding:0 0 20px;border-bottom:2px solid ${LIGHT.accent}`,
  h1: `margin:0;font-size:25px;line-height:1.25;font-weight:650;color:${LIGHT.ink};overflow-wrap:anywhere`,
  rest: `margin:8px 0 0;font-size:18px;color:${LIGHT.accent};font-weight:600;overflow-wrap:anywhere`,
  h2: `margin:28px 0 8px;font-size:17px;line-height:1.3;font-weight:650;color:${LIGHT.accent}`,
  p: 'margin:0 0 10px;overflow-wrap:anywhere',
  table: `width:100%;margin:0 0 14px;border-collapse:collapse;background-color:${LIGHT.panel};color:${LIGHT.ink};border-radius:4px`,
  th: `padding:5px 12px;text-align:left;vertical-align:top;font-weight:400;width:22%;color:${LIGHT.muted}`,
  td: `padding:5px 12px;text-align:left;vertical-align:top;font-weight:600;overflow-wrap:anywhere`,
  ol: 'margin:0 0 12px;padding:0 0 0 28px',
  ul: 'margin:0 0 12px;padding:0 0 0 22px',
  li: 'margin:0 0 7px;padding:0 0 0 3px;overflow-wrap:anywhere',
  command: `margin:0 0 12px;padding:10px 12px;background-color:${LIGHT.panel};color:${LIGHT.ink};border-radius:4px;font-family:${MONO};font-size:14px;white-space:pre-wrap;overflow-wrap:anywhere`,
  answers: 'margin:0 0 12px',
  answer: `display:inline-block;margin:0 8px 8px 0;padding:11px 16px;background-color:${LIGHT.panel};color:${LIGHT.accent};border:1px solid ${LIGHT.accent};border-radius:4px;font-weight:600;text-decoration:none`,
  small: `color:${LIGHT.muted};font-size:14px`,
} as const;

/** `!important`, because only so does the head win over what stands inline. */
const DARK_STYLE = [
  ':root{color-scheme:light dark;supported-color-schemes:light dark}',
  '@media (prefers-color-scheme:dark){',
  `.page{background-color:${DARK.page}!important;color:${DARK.ink}!important}`,
  `.paper{background-color:${DARK.paper}!important;color:${DARK.ink}!important;border-color:${DARK.line}!important}`,
  `.panel{background-color:${DARK.panel}!important;color:${DARK.ink}!important}`,
  `.ink{color:${DARK.ink}!important}`,
  `.accent{color:${DARK.accent}!important;border-color:${DARK.accent}!important}`,
  `.muted{color:${DARK.muted}!important}`,
  '}',
].join('');

/** The page; `title` is the subject. Every text is escaped here and nowhere else. */
export function htmlOf(body: Body, title: string): string {
  return pageOf(title, [
    leadHtml(body),
    ...body.sections.map((section, index) => sectionHtml(section, index === body.sections.length - 1)),
  ]);
}

/** @param blocks - HTML as it is. */
export function pageOf(title: string, blocks: readonly string[]): string {
  return [
    '<!DOCTYPE html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="color-scheme" content="light dark">',
    `<title>${escapeHtml(title)}</title>`,
    `<style>${DARK_STYLE}</style>`,
    '</head>',
    `<body class="page" style="${STYLE.body}">`,
    `<div class="paper" role="article" aria-label="${escapeHtml(title)}" style="${STYLE.paper}">`,
    ...blocks,
    '</div>',
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

function leadHtml(body: Body): string {
  const { headline, rest } = body.lead;
  const second = rest === '' ? '' : `<p class="accent" style="${STYLE.rest}">${escapeHtml(rest)}</p>`;
  const first = `<h1 class="ink" style="${STYLE.h1}">${escapeHtml(headline)}</h1>`;
  return `<div class="accent" style="${STYLE.lead}">${first}${second}</div>`;
}

/** The last section, where it all comes from, is set small. */
function sectionHtml(section: Section, small: boolean): string {
  const heading =
    section.heading === null
      ? ''
      : `<h2 class="accent" style="${STYLE.h2}">${escapeHtml(section.heading)}</h2>`;
  const blocks = section.blocks.map(blockHtml).join('\n');
  return small ? `${heading}<div class="muted" style="${STYLE.small}">${blocks}</div>` : heading + blocks;
}

function blockHtml(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
      return `<p style="${STYLE.p}">${escapeHtml(tied(block.text))}</p>`;
    case 'command':
      return `<pre class="panel" style="${STYLE.command}"><code>${escapeHtml(block.text)}</code></pre>`;
    case 'rows':
      return `<table class="panel" style="${STYLE.table}"><tbody>${block.rows.map(rowHtml).join('')}</tbody></table>`;
    case 'steps':
      return `<ol style="${STYLE.ol}">${block.items.map(itemHtml).join('')}</ol>`;
    case 'list':
      return `<ul style="${STYLE.ul}">${block.items.map(itemHtml).join('')}</ul>`;
    case 'answers':
      return `<div style="${STYLE.answers}">${block.items.map(answerHtml).join('\n')}</div>`;
    case 'picture':
      return PICTURE_MARK;
  }
}

/** A link and no form: mail programs run none. */
function answerHtml({ code, label }: AnswerLine): string {
  return `<a class="panel accent" href="${ANSWER_SCHEME}${code}" style="${STYLE.answer}">${escapeHtml(label)}</a>`;
}

function rowHtml(row: Row): string {
  const label = `<th scope="row" class="muted" style="${STYLE.th}">${escapeHtml(row.label)}</th>`;
  return `<tr>${label}<td style="${STYLE.td}">${escapeHtml(tied(row.value))}</td></tr>`;
}

function itemHtml(item: string): string {
  return `<li style="${STYLE.li}">${escapeHtml(tied(item))}</li>`;
}

export function escapeHtml(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}
