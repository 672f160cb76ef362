/**
 * docs/model.md, held against the model: its table is what the model gives, its worked example is worked again by
 * hand and by the model.
 *
 * After a change that the table should show:
 * `UPDATE_MODEL_PAGE=1 npx vitest run --config tests/vitest.config.ts tests/model-page.test.ts`
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { ALWAYS_HEATED } from '../src/model/heat-plan.ts';
import { buildUnit } from '../src/model/catalogue.ts';
import { budgetKelvinHours } from '../src/model/part.ts';
import { Trace, runPart } from '../src/model/trace.ts';
import { HEATINGS_SHOWN, LOWS_C, protectionTable } from './support/protection-table.ts';

const PAGE = fileURLToPath(new URL('../docs/model.md', import.meta.url));

/** The table between its markers, as rows of cells without the two of its head. */
function shownTable(name: string): string[][] {
  const [, text = ''] = marked(name).exec(readFileSync(PAGE, 'utf8')) ?? [];
  const lines = text.trim().split('\n').slice(2);
  return lines.map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
}

function marked(name: string): RegExp {
  return new RegExp(`<!-- table ${name} -->\n([\\s\\S]*?)<!-- end -->`);
}

function updateTable(name: string, rows: readonly (readonly string[])[]): void {
  const head = ['protection', ...LOWS_C.map((lowC) => `low ${String(lowC).replace('-', '−')} °C`)];
  const widths = head.map((_, i) => Math.max(...[head, ...rows].map((row) => row[i]?.length ?? 0)));
  const line = (cells: readonly string[]): string =>
    `| ${cells.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join(' | ')} |`;
  const rule = widths.map((width) => '-'.repeat(width));
  const table = [head, rule, ...rows].map(line).join('\n');
  const page = readFileSync(PAGE, 'utf8');
  writeFileSync(
    PAGE,
    page.replace(marked(name), () => `<!-- table ${name} -->\n\n${table}\n\n<!-- end -->`),
  );
}

describe('the table of protections in docs/model.md', () => {
  it.each(HEATINGS_SHOWN)('shows what the model gives with the heat: %s', (name) => {
    const rows = protectionTable(name);
    if (process.env['UPDATE_MODEL_PAGE'] === '1') updateTable(name, rows);
    expect(rows.length).toBeGreaterThan(10);
    expect(shownTable(name)).toEqual(rows);
  });
});

interface Hand {
  readonly bayZero: number;
  readonly valveZero: number;
  readonly budget: number;
  readonly blocked: number;
  readonly bayAtBlocked: number;
  /** Had the bay simply run behind the air. */
  readonly plainBlocked: number;
}

/** Hours from when the air begins to fall, 1 K/h from +4 to −6 °C; worked from the page's own numbers. */
function byHand(): Hand {
  const cabin = 2.5e6 / (5 * 30 + 1.5 * 9.144 * 2.4) / 3600;
  const [bay, valve] = [1.5, (0.03 * 4200) / 0.24 / 3600];
  const d = 0.85 * bay + 0.15 * (cabin + bay);
  const a = (0.15 * cabin ** 2) / (cabin - bay);
  const b = 0.85 * bay - (0.15 * bay ** 2) / (cabin - bay);
  const bayC = (t: number): number => 4 - (t - d + a * Math.exp(-t / cabin) + b * Math.exp(-t / bay));
  const coldTo = (t: number): number =>
    t ** 2 / 2 - (4 + d) * t - a * cabin * Math.exp(-t / cabin) - b * bay * Math.exp(-t / bay);
  const bayZero = fallsTo(bayC, 0);
  // One more lag behind air that falls almost evenly.
  const valveZero = bayZero + valve;
  const budget = (0.2 * 0.03 * 333_550) / 0.24 / 3600;
  const blocked = fallsTo((t) => (t < valveZero ? 0 : coldTo(valveZero) - coldTo(t)), -budget);
  const plainBlocked = 4 + d + Math.sqrt(2 * budget + valve ** 2);
  return { bayZero, valveZero, budget, blocked, bayAtBlocked: bayC(blocked), plainBlocked };
}

function fallsTo(course: (t: number) => number, value: number): number {
  let [low, high] = [0, 10];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (course(middle) > value) low = middle;
    else high = middle;
  }
  return high;
}

describe('the worked example in docs/model.md', () => {
  const page = readFileSync(PAGE, 'utf8');
  const hand = byHand();

  it('comes out by hand as it is written', () => {
    expect(page).toContain(`= ${hand.bayZero.toFixed(2)} h   bay at 0 °C`);
    expect(page).toContain(`= ${hand.valveZero.toFixed(2)} h   valve at 0 °C`);
    expect(page).toContain(`= ${hand.budget.toFixed(3)} K·h   budget`);
    expect(page).toContain(`= ${hand.blocked.toFixed(2)} h   blocked`);
    const airC = 4 - hand.blocked;
    expect(page).toContain(`(air −${(-airC).toFixed(2)} °C, bay −${(-hand.bayAtBlocked).toFixed(2)} °C)`);
    expect(page).toContain(`blocked at ${hand.plainBlocked.toFixed(2)} h, ten minutes late`);
  });

  it('comes out of the model within a minute of the hand', () => {
    const unit = buildUnit({
      id: 'blue',
      kind: 'travel-trailer',
      lengthM: 9.144,
      slides: 0,
      belly: 'open',
      skirting: 'none',
      hoseConnected: false,
      heat: null,
      network: null,
      parts: { catalogue: true, add: [], without: [], own: [] },
    });
    const part = unit.parts.find(({ id }) => id === 'outside-shower');
    if (part === undefined) throw new Error('There is no outside shower.');
    const temperatureC = Float64Array.from({ length: 25 }, (_, hour) => Math.max(-6, 4 - hour));
    const windClass = new Uint8Array(24);
    const groundC = new Float64Array(25);
    const trace = new Trace(unit).solve(
      { firstHour: 0, hours: 24, temperatureC, groundC, windClass },
      ALWAYS_HEATED,
    );
    const { events } = runPart(trace, { part, wetSince: null });
    const hoursOf = (line: string): number =>
      (events.find((event) => event.line === line)?.at ?? Number.NaN) / 3600;
    expect(budgetKelvinHours(part, part.blocked)).toBeCloseTo(hand.budget, 9);
    expect(Math.abs(hoursOf('zero') - hand.valveZero)).toBeLessThan(1 / 60);
    expect(Math.abs(hoursOf('blocked') - hand.blocked)).toBeLessThan(1 / 60);
  });
});
