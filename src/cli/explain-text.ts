/** The explanation for a terminal of 80 columns: each part, and what would change the answer. */
import Table from 'cli-table3';
import type { ExplainAnswer } from '../app/explain-answer.ts';

type PartAnswer = ExplainAnswer['parts'][number];

export function explainText(answer: ExplainAnswer): string {
  const first = answer.hours.time.at(0) ?? '';
  const last = answer.hours.time.at(-1) ?? '';
  return [
    `${answer.unit}: member ${answer.member.index}${answer.member.middle ? ' (the middle one)' : ''}, from ${first} to ${last}`,
    '',
    zones(answer),
    parts(answer),
    'What would change the answer, one unknown at a time:',
    sensitivity(answer),
    'All series and parameters: --json.',
    '',
  ].join('\n');
}

function zones({ hours }: ExplainAnswer): string {
  const table = newTable(['Zone', 'Lowest', 'At', 'Highest']);
  for (const [zone, values] of Object.entries(hours.zonesC)) {
    const lowest = Math.min(...values);
    table.push([
      zone,
      degrees(lowest),
      hours.time[values.indexOf(lowest)] ?? '',
      degrees(Math.max(...values)),
    ]);
  }
  return table.toString();
}

function parts({ parts: list, hours }: ExplainAnswer): string {
  const table = newTable(['Part', 'Zone', 'Most cold taken', 'Blocked']);
  for (const part of list) table.push([part.label, part.zone, used(part), blockedAt(part, hours.time)]);
  return table.toString();
}

/** Share of the cold it can take until it is blocked. */
function used(part: PartAnswer): string {
  const { iceFraction, blocked, iceLayerRatio: r } = part;
  const most = Math.max(0, ...iceFraction);
  const taken = (f: number): number => f + (r * f * f) / 2;
  return `${Math.round((100 * taken(most)) / taken(blocked))} % used`;
}

function blockedAt({ iceFraction, blocked }: PartAnswer, times: readonly string[]): string {
  const hour = iceFraction.findIndex((f) => f >= blocked);
  return hour < 0 ? 'no' : `by ${times[hour] ?? ''}`;
}

function sensitivity(answer: ExplainAnswer): string {
  const table = newTable(['Unknown', 'If', 'First damage']);
  for (const line of answer.sensitivity)
    table.push([line.unknown, line.change, line.firstDamageAt ?? 'none']);
  return table.toString();
}

function newTable(head: string[]): Table.Table {
  return new Table({ head, style: { head: [], border: [], compact: true } });
}

function degrees(value: number): string {
  return `${value.toFixed(1)} °C`;
}
