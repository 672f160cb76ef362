/** A page about an answer as HTML: no script, nothing fetched, readable on a phone, by day and in the dark. */
import { escapeHtml } from '../message/html.ts';
import { DARK, LIGHT, type Palette } from '../message/palette.ts';
import type { AnswerCode } from '../message/message.ts';
import type { AnswerForm, AnswerView, Field } from './answer-view.ts';

const FONT = "-apple-system,'Segoe UI',Roboto,'Helvetica Neue',Arial,sans-serif";

function colours(palette: Palette): string {
  return Object.entries(palette)
    .map(([name, colour]) => `--${name}:${String(colour)}`)
    .join(';');
}

/** Stands in the head as it is, so that its hash can be named in the content security policy. */
export const STYLE = [
  `:root{color-scheme:light dark;${colours(LIGHT)}}`,
  `@media (prefers-color-scheme:dark){:root{${colours(DARK)}}}`,
  `*{box-sizing:border-box}`,
  `body{margin:0;padding:16px 12px 48px;background:var(--page);color:var(--ink);font:17px/1.5 ${FONT}}`,
  `main{max-width:600px;margin:0 auto;padding:22px 20px 24px;background:var(--paper);border:1px solid var(--line);border-radius:8px;overflow-wrap:anywhere}`,
  `h1{margin:0;font-size:26px;line-height:1.2}`,
  `.unit{margin:6px 0 18px;padding:0 0 16px;border-bottom:2px solid var(--accent);color:var(--accent);font-size:18px;font-weight:600}`,
  `h2{margin:20px 0 4px;font-size:16px;color:var(--accent)}`,
  `p{margin:0 0 8px}`,
  `.note{margin:0 0 12px;padding:10px 12px;background:var(--panel);border-left:4px solid var(--muted);border-radius:4px}`,
  `.done{border-color:var(--accent);font-weight:600}`,
  `.wrong{border-color:var(--ink);font-weight:600}`,
  `form{margin:22px 0 0}`,
  `fieldset{margin:0 0 18px;padding:8px 14px 12px;border:1px solid var(--line);border-radius:6px}`,
  `legend,.label{padding:0 4px;font-weight:600}`,
  `.field{margin:0 0 18px}`,
  `.label{display:block;padding:0}`,
  `.hint{display:block;margin:0 0 6px;color:var(--muted);font-size:15px;font-weight:400}`,
  `.option{display:flex;gap:12px;align-items:center;min-height:44px}`,
  `.option input{flex:none;width:22px;height:22px;margin:0;accent-color:var(--accent)}`,
  `.line{width:100%;max-width:260px;min-height:44px;padding:8px 10px;font:inherit;color:var(--ink);background:var(--panel);border:1px solid var(--muted);border-radius:6px}`,
  `.button{display:block;width:100%;min-height:52px;margin:0 0 10px;padding:13px 16px;font:inherit;font-weight:650;line-height:1.35;text-align:center;text-decoration:none;color:var(--paper);background:var(--accent);border:0;border-radius:8px;cursor:pointer}`,
  `:focus-visible{outline:3px solid var(--ink);outline-offset:2px}`,
  `pre{margin:8px 0 0;padding:10px 12px;background:var(--panel);border-radius:4px;font:14px/1.5 ui-monospace,Menlo,Consolas,monospace;white-space:pre-wrap}`,
].join('');

/** @param hrefs where the answers to a question lead to, relative to this page */
export function answerPage(view: AnswerView, hrefs: Readonly<Partial<Record<AnswerCode, string>>>): string {
  const title = view.unit === null ? view.title : `${view.title}: ${view.unit}`;
  return [
    '<!DOCTYPE html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="robots" content="noindex, nofollow">',
    '<meta name="referrer" content="no-referrer">',
    `<title>${escapeHtml(title)}</title>`,
    `<style>${STYLE}</style>`,
    '</head>',
    '<body>',
    '<main>',
    `<h1>${escapeHtml(view.title)}</h1>`,
    view.unit === null ? '' : `<p class="unit">${escapeHtml(view.unit)}</p>`,
    ...view.notes.map(noteHtml),
    ...view.rows.map(rowHtml),
    questionHtml(view, hrefs),
    view.form === null ? '' : formHtml(view.form),
    view.command === null
      ? ''
      : `<h2>Without a link</h2><p>Where drainby runs, this says it:</p><pre>${escapeHtml(view.command)}</pre>`,
    '</main>',
    '</body>',
    '</html>',
    '',
  ]
    .filter((line, index, lines) => line !== '' || index === lines.length - 1)
    .join('\n');
}

/** Read aloud at once where a page comes back after a press of its button. */
function noteHtml({ kind, text }: AnswerView['notes'][number]): string {
  const role = kind === 'plain' ? '' : ` role="${kind === 'wrong' ? 'alert' : 'status'}"`;
  return `<p class="note ${kind}"${role}>${escapeHtml(text)}</p>`;
}

function rowHtml({ label, texts }: AnswerView['rows'][number]): string {
  return `<h2>${escapeHtml(label)}</h2>${texts.map((text) => `<p>${escapeHtml(text)}</p>`).join('')}`;
}

function questionHtml(
  { question }: AnswerView,
  hrefs: Readonly<Partial<Record<AnswerCode, string>>>,
): string {
  if (question === null) return '';
  const links = question.answers.map(({ answer, label }) => {
    const href = escapeHtml(hrefs[answer] ?? '');
    return `<a class="button" href="${href}">${escapeHtml(label)}</a>`;
  });
  return `<h2>${escapeHtml(question.text)}</h2>${links.join('')}`;
}

/** Without an action it goes back to where it came from, behind whatever proxy that is. */
function formHtml({ button, fields, hidden }: AnswerForm): string {
  const carried = Object.entries(hidden).map(
    ([name, value]) => `<input type="hidden" name="${escapeHtml(name)}" value="${escapeHtml(value)}">`,
  );
  const lines = [...carried, ...fields.map(fieldHtml)];
  return `<form method="post" accept-charset="utf-8">${lines.join('')}<button class="button" type="submit">${escapeHtml(button)}</button></form>`;
}

function fieldHtml(field: Field): string {
  const { name } = field;
  if (field.kind === 'choices') {
    const type = field.many ? 'checkbox' : 'radio';
    const hint = field.hint === undefined ? '' : `<span class="hint">${escapeHtml(field.hint)}</span>`;
    const options = field.options.map(
      ({ value, label, chosen }) =>
        `<label class="option"><input type="${type}" name="${escapeHtml(name)}" value="${escapeHtml(value)}"${chosen ? ' checked' : ''}><span>${escapeHtml(label)}</span></label>`,
    );
    return `<fieldset><legend>${escapeHtml(field.legend)}</legend>${hint}${options.join('')}</fieldset>`;
  }
  const type = field.kind === 'date' ? 'type="date"' : 'type="text" inputmode="decimal"';
  const required = field.required ? ' required' : '';
  return `<div class="field"><label class="label" for="${escapeHtml(name)}">${escapeHtml(field.label)}</label><span class="hint" id="${escapeHtml(name)}-hint">${escapeHtml(field.hint)}</span><input class="line" id="${escapeHtml(name)}" name="${escapeHtml(name)}" ${type} value="${escapeHtml(field.value)}" aria-describedby="${escapeHtml(name)}-hint"${required} maxlength="40" autocomplete="off"></div>`;
}
