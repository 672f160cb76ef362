/** The check answer for a terminal of 80 columns. */
import Table from 'cli-table3';
import type { CheckAnswer } from '../app/check-answer.ts';
import { actionWords } from '../message/words.ts';
import { chanceText } from '../message/chance.ts';
import { parseInstant } from '../quantity/instant.ts';
import { formatLocal } from '../quantity/local-time.ts';

type UnitAnswer = CheckAnswer['units'][number];
type PlaceAnswer = CheckAnswer['places'][number];

/** Column widths with their borders make 80. */
const WIDTHS = [22, 18, 21, 16];

export function checkTable(answer: CheckAnswer): string {
  const table = new Table({
    head: ['Unit', 'Action', 'Start by', 'Chance of damage'],
    colWidths: WIDTHS,
    wordWrap: true,
    style: { head: [], border: [] },
  });
  const places = new Map(answer.places.map((p) => [p.id, p]));
  for (const unit of answer.units) {
    const place = places.get(unit.place);
    table.push(row(unit, place), [{ colSpan: WIDTHS.length, content: reason(unit, place) }]);
  }
  return [table.toString(), ...footnotes(answer), ''].join('\n');
}

function row(unit: UnitAnswer, place: PlaceAnswer | undefined): string[] {
  const label = `${unit.label}${unit.suspect ? ' (may have frozen)' : ''}`;
  const { advice } = unit;
  if (advice === null) return [label, 'unknown', '—', 'unknown'];
  return [
    label,
    actionWords(advice.action, advice.method ?? null),
    startBy(unit, place),
    chance(unit, place),
  ];
}

function reason({ advice }: UnitAnswer, place: PlaceAnswer | undefined): string {
  if (advice !== null) return advice.reason;
  return `No usable forecast, so nothing is known: ${place?.problem?.message ?? 'no source answered.'}`;
}

function startBy({ advice }: UnitAnswer, place: PlaceAnswer | undefined): string {
  const at = parseInstant(advice?.startBy ?? '');
  if (at === null) return '—';
  return `${formatLocal(at, place?.timeZone ?? 'UTC')}${advice?.late === true ? ' (passed)' : ''}`;
}

/** As it stands, and what the action leaves of it. */
function chance({ advice, chanceOfDamage }: UnitAnswer, place: PlaceAnswer | undefined): string {
  const resolution = 1 / Math.max(1, place?.forecast?.members ?? 1);
  const text = (value: number | undefined): string =>
    value === undefined ? 'unknown' : chanceText(value, resolution);
  if (advice === null || advice.action === 'nothing') return text(chanceOfDamage?.nothing);
  return `${text(chanceOfDamage?.nothing)}, then ${text(chanceOfDamage?.[advice.action])}`;
}

function footnotes(answer: CheckAnswer): string[] {
  const attributions = new Set(answer.places.flatMap((p) => p.forecast?.attribution ?? []));
  const problems = answer.places.flatMap((p) =>
    p.problem === null ? [] : [`${p.label}: ${p.problem.message}`],
  );
  return [
    `Chances are for the next ${answer.windowHours} h: as it stands, then after the action.`,
    ...problems,
    ...attributions,
  ];
}
