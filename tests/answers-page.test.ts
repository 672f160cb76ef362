/** docs/answers.md, held against answers of the program: what is in them must be in it, and what is in it must exist. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { scoreAnswer } from '../src/app/score-answer.ts';
import { loadConfig } from '../src/config/load.ts';
import { OUTSIDE_ACTIONS } from '../src/decision/advice.ts';
import { MEASURES } from '../src/model/measure.ts';
import { checkAt, explainAt } from './support/scenario.ts';
import { seconds } from './support/instants.ts';

const PAGE = readFileSync(fileURLToPath(new URL('../docs/answers.md', import.meta.url)), 'utf8');
const DEMO = fileURLToPath(new URL('../config/demo/drainby.yaml', import.meta.url));
const NOW = '2026-11-12T15:00:00Z';
const ZONES = 'outside post barn underneath outlet underbelly bay cabinet slide inside'.split(' ');

/** The part of the page below one of its headings, to the next one of the same rank. */
function section(heading: string): string {
  return PAGE.split(/^## /m).find((text) => text.startsWith(heading)) ?? '';
}

/** First cells of its rows. */
function rows(text: string): string[] {
  return [...text.matchAll(/^\| `([^`]+)`/gm)].map(([, key]) => key ?? '');
}

/** Paths of everything in it; what has a row of its own for the whole need not have one for each of its parts. */
function paths(value: unknown, documented: ReadonlySet<string>, path = ''): string[] {
  if (Array.isArray(value)) {
    const many = `${path}[]`;
    const inside = value.flatMap((one: unknown) => (isPlain(one) ? paths(one, documented, many) : []));
    return inside.length === 0 ? [path] : [...new Set(inside)];
  }
  if (!isPlain(value)) return [path];
  return Object.entries(value).flatMap(([key, one]) => {
    const name = names(path, key);
    const below = path === '' ? name : `${path}.${name}`;
    const isWhole = documented.has(below) && ![...documented].some((row) => row.startsWith(`${below}.`));
    return isWhole || (documented.has(`${below}[]`) && isWholeList(below, documented))
      ? [below]
      : paths(one, documented, below);
  });
}

function isWholeList(path: string, documented: ReadonlySet<string>): boolean {
  return ![...documented].some((row) => row.startsWith(`${path}[].`));
}

/** Maps by action and by zone have one row for all of them. */
function names(path: string, key: string): string {
  if (/(chanceOfDamage|tolerance|costOfWork|expectedCost)$/.test(path) && isAction(key)) return '{action}';
  return path.endsWith('zones') && ZONES.includes(key) ? '{zone}' : key;
}

const isAction = (key: string): boolean => (OUTSIDE_ACTIONS as readonly string[]).includes(key);
const isPlain = (value: unknown): value is object =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function undocumented(value: unknown, text: string): string[] {
  const documented = new Set(rows(text));
  const known = (path: string): boolean =>
    documented.has(path) || documented.has(`${path}[]`) || path === '' || isMap(path, documented);
  return [...new Set(paths(value, documented))].filter((path) => !known(path)).toSorted();
}

/** An empty map by action or zone. */
const isMap = (path: string, documented: ReadonlySet<string>): boolean =>
  documented.has(`${path}.{action}`) || documented.has(`${path}.{zone}`);

let check: Awaited<ReturnType<typeof checkAt>>;
beforeAll(async () => {
  check = await checkAt(loadConfig(DEMO), NOW);
}, 120_000);

describe('docs/answers.md', () => {
  it('has everything that the demo answers to check', () => {
    expect(check.units.length).toBeGreaterThan(5);
    expect(undocumented(check, section('`check'))).toEqual([]);
  });

  it('finds a field without a row', () => {
    const strange = { ...check, units: check.units.map((unit) => ({ ...unit, strange: { value: 1 } })) };
    expect(undocumented(strange, section('`check'))).toEqual(['units[].strange.value']);
  });

  it('has everything that the demo answers to explain', async () => {
    const answer = await explainAt(loadConfig(DEMO), 'heron', NOW);
    const above = 'asOf place waterState suspect advice overload heatLasts holdOut powerCut assumptions';
    const own = Object.fromEntries(Object.entries(answer).filter(([key]) => !above.split(' ').includes(key)));
    expect(undocumented(own, section('`explain'))).toEqual([]);
  });

  it('has everything of a score', () => {
    const asOf = seconds(NOW);
    const measured = { readings: [], station: [], archive: [] };
    const nights = [{ unit: 'blue', nights: [{ warned: true, harmed: true }] }];
    const answer = scoreAnswer(
      { place: 'creek', asOf, kept: [], measured, nights },
      { place: 'Creek', units: {} },
    );
    expect(undocumented(answer, section('`score'))).toEqual([]);
  });

  it('names every measure, in its order, and no other', () => {
    const text = PAGE.split(/^### Measures$/m)[1]?.split(/^## /m)[0] ?? '';
    expect(rows(text)).toEqual(MEASURES);
  });
});
