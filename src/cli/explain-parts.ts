/** The table of all parts. */
import Table from 'cli-table3';
import { zoneName } from '../message/words.ts';
import { percent } from './explain-story.ts';
import {
  cold,
  degrees,
  near,
  sentences,
  shareUsed,
  type ExplainView,
  type PartAnswer,
} from './explain-view.ts';

/** With the borders between them these make 80. */
const WIDTHS = [32, 12, 11, 8, 11];

const EXAMPLES = {
  F: '10 °F below freezing for 3 h are 30 °F·h',
  C: '5 °C below freezing for 3 h are 15 °C·h',
} as const;

export function parts(view: ExplainView): string {
  const table = new Table({
    head: ['Part', 'Where', 'Can take, still air', 'Used', 'Blocked, burst'],
    colWidths: WIDTHS,
    wordWrap: true,
    style: { head: [], border: [], compact: true },
  });
  for (const part of view.answer.parts) {
    const row = part.holdsWater ? held(part, view) : unfilled(part, view);
    table.push([part.label, zoneName(part.zone), ...row]);
  }
  const what = `All parts: how much cold each can take in still air until ice blocks it, how much of that is used at most, and when it is blocked or bursts. Wind that reaches a part takes its heat faster: it is used up sooner then. Cold is counted in degree-hours: ${EXAMPLES[view.display.temperature]}.`;
  return `${sentences(what)}\n${table.toString()}`;
}

/** What stands in it after draining, or its antifreeze, breaks it by the temperature of its zone; empty it takes any. */
function unfilled({ harm, waterState, damagedAt }: PartAnswer, view: ExplainView): Cell[] {
  if (harm?.kind !== 'cold') return ['—', 'empty', '—'];
  const at = degrees(harm.atC, view);
  const what =
    waterState === 'antifreeze' ? `antifreeze, bursts at ${at}` : `drained, ${harm.hours} h at ${at}`;
  return [{ colSpan: 2, content: what }, damagedAt === null ? '—' : near(damagedAt, view)];
}

type Cell = string | { readonly colSpan: number; readonly content: string };

function held(part: PartAnswer, view: ExplainView): string[] {
  const used = shareUsed(part);
  return [
    cold(part.budgetKelvinHours.blocked, view),
    used >= 1 ? 'all' : percent(used),
    part.blockedAt === null ? (used >= 1 ? 'now' : '—') : near(part.blockedAt, view),
  ];
}
