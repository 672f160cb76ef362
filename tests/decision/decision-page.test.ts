/** The tables of docs/decision.md, held against the program. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { DEFAULT_COSTS, repairPrice } from '../../src/decision/costs.ts';
import { REPAIRS, REPAIR_IDS } from '../../src/decision/repairs.ts';

const PAGE = readFileSync(fileURLToPath(new URL('../../docs/decision.md', import.meta.url)), 'utf8');

function cells(line: string): string[] {
  return line
    .split('|')
    .slice(1, -1)
    .map((cell) => cell.trim());
}

describe('docs/decision.md', () => {
  it('has every repair with its part, hours, price and share, and no other', () => {
    const rows = PAGE.split('\n').filter((line) => /^\| `[a-z-]+` /.test(line));
    const computed = REPAIR_IDS.map((id) => {
      const { part, hours, breaks } = REPAIRS[id];
      return [`\`${id}\``, part, hours, repairPrice(id, DEFAULT_COSTS), breaks].map(String);
    });
    expect(rows.map(cells)).toEqual(computed);
  });
});
