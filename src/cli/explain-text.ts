/** The explanation for a terminal of 80 columns: each zone, each part, and what would change the answer. */
import Table from 'cli-table3';
import type { ExplainAnswer } from '../app/explain-answer.ts';
import { parseInstant } from '../quantity/instant.ts';
import { formatLocal, formatNear } from '../quantity/local-time.ts';
import { formatTemperature, type TemperatureUnit } from '../quantity/temperature.ts';

type PartAnswer = ExplainAnswer['parts'][number];

export interface ExplainDisplay {
  readonly temperature: TemperatureUnit;
  readonly timeZone: string;
}

export function explainText(answer: ExplainAnswer, display: ExplainDisplay): string {
  const { hours, member } = answer;
  const from = localTime(hours.time.at(0), display);
  const to = localTime(hours.time.at(-1), display);
  return [
    `${answer.unit}: member ${member.index}${member.middle ? ' (the middle one)' : ''}`,
    `${from} to ${to}`,
    '',
    zones(answer, display),
    parts(answer, display),
    'What would change the answer, one unknown at a time:',
    sensitivity(answer, display),
    'All series and parameters: --json.',
    '',
  ].join('\n');
}

function zones({ hours, asOf }: ExplainAnswer, display: ExplainDisplay): string {
  const table = newTable(['Zone', 'Lowest', 'At', 'Highest']);
  for (const [zone, values] of Object.entries(hours.zonesC)) {
    const lowest = Math.min(...values);
    table.push([
      zone,
      formatTemperature(lowest, display.temperature),
      nearTime(hours.time[values.indexOf(lowest)], asOf, display),
      formatTemperature(Math.max(...values), display.temperature),
    ]);
  }
  return table.toString();
}

function parts({ parts: list, hours, asOf }: ExplainAnswer, display: ExplainDisplay): string {
  const table = newTable(['Part', 'Zone', 'Cold taken', 'Blocked by']);
  for (const part of list) {
    const hour = part.iceFraction.findIndex((f) => f >= part.blocked);
    const blockedBy = hour < 0 ? '—' : nearTime(hours.time[hour], asOf, display);
    table.push([part.label, part.zone, used(part), blockedBy]);
  }
  return table.toString();
}

/** Most of the cold it can take until it is blocked; beyond that more says nothing. */
function used({ iceFraction, blocked, iceLayerRatio: r }: PartAnswer): string {
  const taken = (f: number): number => f + (r * f * f) / 2;
  const share = taken(Math.max(0, ...iceFraction)) / taken(blocked);
  return share >= 1 ? 'all' : `${Math.round(100 * share)} % used`;
}

function sensitivity(answer: ExplainAnswer, display: ExplainDisplay): string {
  const table = newTable(['Unknown', 'If', 'First damage']);
  for (const { unknown, change, firstDamageAt } of answer.sensitivity) {
    table.push([
      unknown,
      change,
      firstDamageAt === null ? 'none' : nearTime(firstDamageAt, answer.asOf, display),
    ]);
  }
  return table.toString();
}

function newTable(head: string[]): Table.Table {
  return new Table({ head, style: { head: [], border: [], compact: true } });
}

function localTime(iso: string | undefined, { timeZone }: ExplainDisplay): string {
  const instant = parseInstant(iso ?? '');
  return instant === null ? '' : formatLocal(instant, timeZone);
}

/** Short within a week of the answer's own time. */
function nearTime(iso: string | undefined, asOf: string, { timeZone }: ExplainDisplay): string {
  const [instant, now] = [parseInstant(iso ?? ''), parseInstant(asOf)];
  return instant === null || now === null ? '' : formatNear(instant, now, timeZone);
}
