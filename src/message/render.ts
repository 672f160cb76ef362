import type { Notice } from '../decision/memory.ts';
import { answersOf } from './answers.ts';
import { calendarOf } from './calendar.ts';
import { htmlOf } from './html.ts';
import { lineOf } from './line.ts';
import type { Reader, Rendered, UnitFacts } from './message.ts';
import { bodyOf } from './outline.ts';
import { pictureOf } from './picture.ts';
import { plainFacts } from './plain.ts';
import { shortOf } from './short.ts';
import { subjectOf } from './subject.ts';
import { textOf } from './text.ts';

/**
 * What one reader is told: subject, text and HTML of the same content, in the reader's units, zone and words, and what
 * goes along with them. Free texts in `facts` (labels, problems, attributions) are made harmless here; equal input,
 * equal output.
 */
export function renderMessage(notice: Notice, facts: UnitFacts, reader: Reader): Rendered {
  const told = { notice, facts: plainFacts(facts), reader };
  const subject = subjectOf(told);
  const body = bodyOf(told);
  const calendar = calendarOf(told);
  const picture = pictureOf(told);
  return {
    subject,
    text: textOf(body),
    html: htmlOf(body, subject),
    short: shortOf(told),
    answers: answersOf(told),
    line: lineOf(told),
    ...(calendar === null ? {} : { calendar }),
    ...(picture === null ? {} : { picture }),
  };
}
