/** A list of many units as a page with a table for each place. */
import { escapeHtml, pageOf, STYLE } from './html.ts';
import { LIGHT } from './palette.ts';
import type { ListBody, ListedPlace, ListedUnit } from './list-body.ts';
import { capital } from './words.ts';
import { tied } from './wrap.ts';

const CELL = `padding:8px 8px;text-align:left;vertical-align:top;border-bottom:1px solid ${LIGHT.line};overflow-wrap:anywhere`;

const COLUMNS = [
  ['By when', '25%'],
  ['Unit', '27%'],
  ['What to do', '48%'],
] as const;

export function listHtml({ subject, places, notes, cautions, origin }: ListBody): string {
  const items = cautions.map((caution) => `<li style="${STYLE.li}">${escapeHtml(caution)}</li>`).join('');
  const small = [...notes, ...origin].map((note) => `<p style="${STYLE.p}">${escapeHtml(note)}</p>`).join('');
  return pageOf(subject, [
    `<div class="accent" style="${STYLE.lead}"><h1 class="ink" style="${STYLE.h1}">${escapeHtml(subject)}.</h1></div>`,
    ...places.map(placeHtml),
    `<h2 class="accent" style="${STYLE.h2}">Cautions</h2><ul style="${STYLE.ul}">${items}</ul>`,
    `<div class="muted" style="${STYLE.small}">${small}</div>`,
  ]);
}

function placeHtml({ label, units }: ListedPlace): string {
  const heading = label === null ? '' : `<h2 class="accent" style="${STYLE.h2}">${escapeHtml(label)}</h2>`;
  const head = COLUMNS.map(
    ([name, width]) =>
      `<th scope="col" class="muted" style="${CELL};width:${width};font-weight:400;color:${LIGHT.muted}">${name}</th>`,
  ).join('');
  return `${heading}<table class="panel" style="${STYLE.table};table-layout:fixed"><thead><tr>${head}</tr></thead><tbody>${units.map(rowHtml).join('')}</tbody></table>`;
}

function rowHtml({ label, what, by, because, stands }: ListedUnit): string {
  const small = (words: string): string =>
    words === '' ? '' : `<br><span class="muted" style="${STYLE.small}">${escapeHtml(tied(words))}</span>`;
  const cells = [
    `<td style="${CELL};font-weight:600">${escapeHtml(tied(by === '' ? '—' : capital(by)))}</td>`,
    `<th scope="row" style="${CELL};font-weight:600">${escapeHtml(label)}</th>`,
    `<td style="${CELL}">${escapeHtml(capital(what))}${small(because)}${small(stands)}</td>`,
  ];
  return `<tr>${cells.join('')}</tr>`;
}
