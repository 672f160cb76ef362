import type { Notice } from '../decision/memory.ts';
import { htmlOf } from './html.ts';
import type { MessageText, Reader, UnitFacts } from './message.ts';
import { bodyOf } from './outline.ts';
import { plainFacts } from './plain.ts';
import { subjectOf } from './subject.ts';
import { textOf } from './text.ts';

/**
 * What one reader is told: subject, text and HTML of the same content, in the reader's units, zone and words.
 * Free texts in `facts` (labels, problems, attributions) are made harmless here; equal input, equal output.
 */
export function renderMessage(notice: Notice, facts: UnitFacts, reader: Reader): MessageText {
  const told = { notice, facts: plainFacts(facts), reader };
  const subject = subjectOf(told);
  const body = bodyOf(told);
  return { subject, text: textOf(body), html: htmlOf(body, subject) };
}
