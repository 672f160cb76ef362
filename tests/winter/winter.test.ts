/**
 * `npm test` goes through eleven days of one November; `npm run winter` through whole winters with many seeds, and
 * prints what docs/winter.md has.
 */
import { expect, it } from 'vitest';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
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
    // Whoever accepts more than the default accepts that something is missed.
    if (name.startsWith(`tolerance ${DEFAULT_POLICY.tolerance.nothing},`))
      expect(count, name).toMatchObject({ missed: 0, harmed: 0 });
    expect(count.mostADay, name).toBeLessThanOrEqual(3);
  }
  const best = ours.filter(({ count }) => rules.every((rule) => isBetter(count, rule.count)));
  expect(
    best.map(({ name }) => name),
    'fewer misses, less needless work and fewer false calls per true one than every rule',
  ).not.toEqual([]);
}

function isRule({ name }: Line): boolean {
  return name.startsWith('rule');
}

/** Misses less, has less work done for nothing, and fewer calls for nothing per true one. */
function isBetter(one: Line['count'], other: Line['count']): boolean {
  const perTrue = ({ everyCall }: Line['count']): number => everyCall.false / everyCall.true;
  return (
    one.missed < other.missed && one.needlessWorks < other.needlessWorks && perTrue(one) < perTrue(other)
  );
}

if (SEEDS.length > 0) it('whole winters, counted', { timeout: 0 }, countWinters);

if (SEEDS.length === 0) {
  itWithShared(
    'warns in time of each frost of a late November, with less work for nothing than any rule',
    async () => {
      const lines = await table({
        winters: [newYork()],
        seeds: [1],
        accepted: [0.05],
        members: [51],
        callAhead: [24],
        days: [51, 62],
        write: () => undefined,
      });
      const ours = lines.find((line) => !isRule(line))!.count;
      const rules = lines.filter(isRule).map(({ count }) => count);
      expect(ours.onsets).toBeGreaterThan(0);
      expect(ours).toMatchObject({ missed: 0, harmed: 0 });
      expect(ours.mostIn24h).toBeLessThanOrEqual(3);
      expect(rules).toHaveLength(3);
      for (const rule of rules) expect(ours.needlessWorks).toBeLessThan(rule.needlessWorks);
      expect(Math.max(...rules.map(({ missed }) => missed))).toBeGreaterThan(0);
    },
    300_000,
  );
}
