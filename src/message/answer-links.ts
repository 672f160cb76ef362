/** Turns what stands for the link of an answer into the link, at sending, or takes it out. */
import { escapeHtml } from './html.ts';
import { ANSWERS, ANSWER_SCHEME } from './message.ts';
import type { AnswerCode, OutgoingMessage } from './message.ts';

/**
 * The link of one answer to one message. The same for the same two, or attempts would differ; null: there is none.
 */
export type AnswerLink = (message: OutgoingMessage, answer: AnswerCode) => string | null;

const MARK = new RegExp(`${ANSWER_SCHEME}([a-z-]*)`, 'g');

/** No mail program knows our scheme: what has no link reaches nobody, not even as a dead one. */
export function withAnswerLinks(message: OutgoingMessage, link: AnswerLink | null): OutgoingMessage {
  if (!message.text.includes(ANSWER_SCHEME) && !message.html.includes(ANSWER_SCHEME)) return message;
  const links = new Map<string, string | null>();
  const linkOf = (code: string): string | null => {
    if (!links.has(code)) links.set(code, isAnswer(code) ? (link?.(message, code) ?? null) : null);
    return links.get(code) ?? null;
  };
  return { ...message, text: linkedText(message.text, linkOf), html: linkedHtml(message.html, linkOf) };
}

type LinkOf = (code: string) => string | null;

function isAnswer(code: string): code is AnswerCode {
  return ANSWERS.some((answer) => answer === code);
}

/** A line that offers a link which is not there goes as a whole. */
function linkedText(text: string, linkOf: LinkOf): string {
  return text
    .split('\n')
    .filter((line) => [...line.matchAll(MARK)].every(([, code = '']) => linkOf(code) !== null))
    .map((line) => line.replaceAll(MARK, (_mark, code: string) => linkOf(code) ?? ''))
    .join('\n');
}

const ANCHOR = new RegExp(`<a\\b[^>]*${ANSWER_SCHEME}([a-z-]*)[^>]*>[\\s\\S]*?</a>`, 'gi');
const EMPTIED = /<(li|p|td|tr|div)\b[^>]*>\s*<\/\1>/gi;

function linkedHtml(html: string, linkOf: LinkOf): string {
  const kept = html.replaceAll(ANCHOR, (anchor, code: string) => (linkOf(code) === null ? '' : anchor));
  const tidy = kept === html ? html : kept.replaceAll(EMPTIED, '');
  return tidy.replaceAll(MARK, (_mark, code: string) => escapeHtml(linkOf(code) ?? ''));
}
