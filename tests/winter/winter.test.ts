/**
 * `npm test` goes through eleven days of one November; `npm run winter` through whole winters with many seeds, and
 * prints what docs/winter.md has.
 */
import { expect, it } from 'vitest';
import { itWithShared } from '../shared-data.ts';
import type { Accepted } from './lot.ts';
import { newYork, seoul } from './series.ts';
import { sentence, table, type Line } from './table.ts';

const ENV = process.env;
const SEEDS = numbers(ENV['DRAINBY_WINTER_SEEDS'] ?? '');
const listed = (name: string, usual: string): readonly string[] => (ENV[name] ?? usual).split(',');

/** `3`, `1,4` or `1-20`. */
function numbers(text: string): readonly number[] {
  return text
    .split(',')
    .filter((piece) => piece !== '')
    .flatMap((piece) => {
      const [first = 1, last = first] = piece.split('-').map(Number);
      return Array.from({ length: last - first + 1 }, (_, i) => first + i);
    });
}

const write = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

async function countWinters(): Promise<void> {
  const which = listed('DRAINBY_WINTERS', 'New York,Seoul');
  const lines = await table({
    winters: [newYork(), seoul()].filter(({ name }) => which.includes(name)),
    seeds: SEEDS,
    accepted: listed('DRAINBY_WINTER_TOLERANCES', '0.05').map((t): Accepted =>
      t === 'costs' ? t : Number(t),
    ),
    members: listed('DRAINBY_WINTER_MEMBERS', '51').map(Number),
    callAhead: listed('DRAINBY_WINTER_CALL_AHEAD', '24').map(Number),
    write,
    each: ENV['DRAINBY_WINTER_EACH'] !== undefined,
  });
  write('together:');
  for (const line of lines) write(sentence(line));
  const rules = lines.filter(isRule);
  const ours = lines.filter((line) => !isRule(line));
  for (const { count, name } of ours) {
    expect(count.missed, name).toBe(0);
    expect(count.mostADay, name).toBeLessThanOrEqual(3);
  }
  const best = ours.filter(({ count }) => rules.every((rule) => isBetter(count, rule.count)));
  expect(
    best.map(({ name }) => name),
    'fewer misses and fewer false alarms than every rule',
  ).not.toEqual([]);
}

function isRule({ name }: Line): boolean {
  return name.startsWith('rule');
}

/** Misses less and alarms less for nothing. */
function isBetter(one: Line['count'], other: Line['count']): boolean {
  return one.missed < other.missed && one.falseAlarms < other.falseAlarms;
}

if (SEEDS.length > 0) it('whole winters, counted', { timeout: 0 }, countWinters);

if (SEEDS.length === 0) {
  itWithShared(
    'warns in time of each frost of a late November, and less for nothing than 28 °F',
    async () => {
      const lines = await table({
        winters: [newYork()],
        seeds: [1],
        accepted: [0.05],
        members: [51],
        callAhead: [18],
        days: [51, 62],
        write: () => undefined,
      });
      const of = (name: string): (typeof lines)[number]['count'] =>
        lines.find((line) => line.name.startsWith(name))!.count;
      const ours = of('tolerance');
      expect(ours.onsets).toBeGreaterThan(0);
      expect(ours.missed).toBe(0);
      expect(ours.mostIn24h).toBeLessThanOrEqual(3);
      expect(ours.falseAlarms).toBeLessThan(of('rule 28').falseAlarms);
      expect(ours.missed).toBeLessThan(of('rule 20').missed);
    },
    300_000,
  );
}
