/** The table of all parts. */
import Table from 'cli-table3';
import { zoneName } from '../message/words.ts';
import { percent } from './explain-story.ts';
import { cold, near, sentences, shareUsed, type ExplainView, type PartAnswer } from './explain-view.ts';

/** With the borders between them these make 80. */
const WIDTHS = [32, 12, 11, 8, 11];

const EXAMPLES = {
  F: '10 °F below freezing for 3 h are 30 °F·h',
  C: '5 °C below freezing for 3 h are 15 °C·h',
} as const;

export function parts(view: ExplainView): string {
  const table = new Table({
    head: ['Part', 'Where', 'Can take', 'Used', 'Blocked'],
    colWidths: WIDTHS,
    wordWrap: true,
    style: { head: [], border: [], compact: true },
  });
  for (const part of view.answer.parts) {
    const row = part.holdsWater ? held(part, view) : ['—', 'empty', '—'];
    table.push([part.label, zoneName(part.zone), ...row]);
  }
  const what = `All parts: how much cold each can take until ice blocks it, how much of that is used at most, and when it is blocked. Cold is counted in degree-hours: ${EXAMPLES[view.display.temperature]}.`;
  return `${sentences(what)}\n${table.toString()}`;
}

function held(part: PartAnswer, view: ExplainView): string[] {
  const used = shareUsed(part);
  return [
    cold(part.budgetKelvinHours.blocked, view),
    used >= 1 ? 'all' : percent(used),
    part.blockedAt === null ? (used >= 1 ? 'now' : '—') : near(part.blockedAt, view),
  ];
}
