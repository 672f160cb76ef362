/** What `explain` says to people, beside its JSON: in their units, within 80 columns, and true to the answer. */
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { ExplainAnswer } from '../../src/app/explain-answer.ts';
import { runCli } from '../../src/cli/cli.ts';
import { explainText } from '../../src/cli/explain-text.ts';
import type { Config } from '../../src/config/config.ts';
import { EXIT } from '../../src/errors.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, explainAt, roundAt, scenario } from '../support/scenario.ts';

/** Noon in Denver. */
const NOW = '2026-12-10T19:00:00Z';
const DENVER = 'America/Denver';

/** Coldest at 5 in the morning there, from tonight on. */
function nights(lowC: number, dayC: number): string {
  const temperatureC = Array.from({ length: 72 + 100 }, (_, i) => {
    const hour = i - 72;
    const mean = (lowC + dayC) / 2;
    return hour < 2 ? 10 : mean + ((dayC - lowC) / 2) * Math.cos((2 * Math.PI * (hour - 17)) / 24 + Math.PI);
  });
  return csvOf({
    start: iso(seconds(NOW) - 72 * 3600),
    temperatureC,
    windSpeedMps: temperatureC.map(() => 2),
  });
}

const UNIT = { id: 'blue', label: 'Blue trailer', place: 'creek', kind: 'travel-trailer', contacts: ['ann'] };
const LIVED_IN = {
  attended: true,
  length: '30 ft',
  belly: 'heated',
  hose: 'connected',
  water: { state: 'in-use' },
  heat: { set: '18 °C', furnace: '30000 BTU/h', ductedShare: 0.12, propane: '30 lb' },
};

function unitIn(over: object, csv = nights(-10, 2)): Config {
  return scenario(configOf({ units: [{ ...UNIT, ...over }] }), { 'series.csv': csv });
}

function shown(answer: ExplainAnswer, temperature: 'C' | 'F' = 'F'): string {
  return explainText(answer, { temperature, timeZone: DENVER });
}

function flat(text: string): string {
  return text.replace(/\s+/g, ' ');
}

describe('a unit that somebody lives in', () => {
  let known: Promise<ExplainAnswer> | undefined;
  /** Computed in the first test that asks; the rest share it. */
  async function told(): Promise<{ answer: ExplainAnswer; text: string }> {
    known ??= explainAt(unitIn(LIVED_IN), 'blue', NOW);
    const answer = await known;
    return { answer, text: shown(answer) };
  }

  it('is told within 80 columns, in °F, without anything undefined', async () => {
    const { text } = await told();
    for (const line of text.split('\n')) expect([line, Array.from(line).length <= 80]).toEqual([line, true]);
    expect(text).not.toMatch(/°C|\d K\b|undefined|NaN|\bnull\b/);
  });

  it('first says what goes first, when, and how much cold that can take', async () => {
    const { answer, text } = await told();
    const part = answer.parts.find((p) => p.id === answer.firstDamage?.part);
    const budgetF = Math.round((part?.budgetKelvinHours.blocked ?? NaN) * 1.8);
    expect(flat(text)).toContain(`The ${part?.label} goes first, about `);
    expect(flat(text)).toContain(`can take ${budgetF} °F·h of cold in still air until ice blocks it`);
    const [checked] = (await checkAt(unitIn(LIVED_IN), NOW)).units;
    expect(answer.firstDamage).toMatchObject({ part: checked?.firstPart, at: checked?.firstDamage?.median });
  });

  it('gives every third hour of the coldest stretch, with the zone, the furnace and the cold taken', async () => {
    const { text } = await told();
    const rows = text.split('\n').filter((line) => /^│ (Thu|Fri|Sat|Sun) \d\d:00 +│/.test(line));
    const hours = rows.map((line) => Number(/(\d\d):00/.exec(line)?.[1]));
    expect(rows.length).toBeGreaterThan(8);
    hours.slice(1).forEach((hour, i) => expect((hour - (hours[i] ?? 0) + 24) % 24).toBe(3));
    expect(rows.every((line) => / kW +│/.test(line))).toBe(true);
    expect(rows.some((line) => line.includes('14 °F'))).toBe(true);
    expect(rows.join()).toMatch(/blocked/);
  });

  it('says in words where the heat goes', async () => {
    const { answer, text } = await told();
    const floor = answer.flows['underbelly']?.flows.find((f) => f.path === 'insideUnderbelly');
    expect(floor?.watts).toBeGreaterThan(0);
    expect(flat(text)).toContain(`${floor?.watts} W through the floor`);
    expect(flat(text)).toMatch(
      /The underbelly, coldest .*: it gets .* from the furnace.*; it loses \d+ W through the belly skin\./,
    );
  });

  it('says until when the gas on board lasts, though somebody changes cylinders in time', async () => {
    const { answer, text } = await told();
    // 30 lb of propane are 21,600 BTU/lb × 30, of which three quarters come into the unit.
    const heatJ = 30 * 21_600 * 1055 * 0.75;
    const { firstHour, burned } = burnedFrom(answer);
    const until = seconds(answer.heatLasts.gasOnBoardUntil ?? 'never');
    const hour = burned.findIndex((sum) => sum >= heatJ);
    expect(Math.abs(until - (firstHour + hour * 3600))).toBeLessThan(2 * 3600);
    expect(flat(text)).toMatch(
      /The gas on board lasts until \w+ \d\d:\d\d: it is taken to be refilled in time/,
    );
  });

  it('says how long it holds out, in the hours of check', async () => {
    const { answer, text } = await told();
    const [checked] = (await checkAt(unitIn(LIVED_IN), NOW)).units;
    expect(answer.holdOut).toEqual(checked?.holdOut);
    expect(flat(text)).toMatch(
      /If the heat or the power at the post stops, (it|what the heat keeps) holds out .* at the worst time for it/,
    );
  });

  it('names at most five unknowns that change something, and the rest once for all', async () => {
    const { text } = await told();
    const lines = text.slice(text.indexOf('What would change')).match(/^- If .*/gm) ?? [];
    expect(lines.length).toBeGreaterThan(0);
    expect(lines.length).toBeLessThanOrEqual(5);
    expect(flat(text)).toMatch(
      /If the air is 3\.6 °F (colder|warmer): \w+ hours? (earlier|later)|If the hose is stowed/,
    );
    expect(flat(text)).toContain('Nothing changes if ');
  });

  it('has words of its own for every unknown', async () => {
    const { text } = await told();
    const unknowns = flat(text).slice(flat(text).indexOf('What would change'));
    expect(unknowns).not.toMatch(
      /the (heat|walls and draughts|conductance of the parts|water in the parts) (is|stops)/,
    );
  });

  it('reads °C where that is the unit', async () => {
    const { answer } = await told();
    const celsius = shown(answer, 'C');
    expect(celsius).toMatch(/−10 °C/);
    expect(celsius).toContain('°C·h');
    expect(celsius).not.toContain('°F');
  });
});

describe('heat that is not all a furnace’s, or not all inside', () => {
  it('electric heat warms it, and is told as such', async () => {
    const heat = { set: '18 °C', electric: '3 kW' };
    const answer = await explainAt(unitIn({ ...LIVED_IN, heat }), 'blue', NOW);
    const electric = answer.flows['inside']?.flows.find((f) => f.path === 'electric');
    expect(electric?.watts).toBeGreaterThan(1000);
    expect(answer.hours.electricW).toHaveLength(answer.hours.furnaceW.length);
    expect(Math.max(...answer.hours.electricW)).toBeLessThanOrEqual(3000);
    expect(flat(shown(answer))).toMatch(
      new RegExp(`Inside, coldest [^;]*: it gets ${electric?.watts} W from electric heat`),
    );
  });

  it('a duct under an open belly has a line of its own for what it loses', async () => {
    const heat = { set: '18 °C', furnace: '6 kW', ductedShare: 0.25 };
    const answer = await explainAt(unitIn({ ...LIVED_IN, belly: 'open', heat }), 'blue', NOW);
    const inside = answer.flows['inside'];
    const furnaceW = inside?.flows.find((f) => f.path === 'furnace')?.watts ?? Number.NaN;
    // A quarter down, three quarters up.
    expect(furnaceW / (inside?.ductLostW ?? Number.NaN)).toBeCloseTo(3, 1);
    expect(flat(shown(answer))).toContain(
      `- ${inside?.ductLostW} W more of the furnace’s heat go down its duct`,
    );
  });
});

/** Heat of the furnace from now on, summed up by hour. */
function burnedFrom(answer: ExplainAnswer): { firstHour: number; burned: number[] } {
  const from = answer.hours.time.indexOf(NOW);
  let sum = 0;
  const burned = answer.hours.furnaceW.slice(from).map((watts) => (sum += watts * 3600));
  return { firstHour: seconds(NOW), burned };
}

describe('a unit that comes through', () => {
  it('has the part nearest to its limit, and how much of that is used', async () => {
    const answer = await explainAt(
      unitIn({ belly: 'enclosed', water: { state: 'in-use' } }, nights(-1, 6)),
      'blue',
      NOW,
    );
    const text = flat(shown(answer));
    expect(answer.firstDamage).toBeNull();
    const most = Math.max(
      ...answer.parts.map((p) => (p.headroom ? 0 : p.mostUsedKelvinHours / p.budgetKelvinHours.blocked)),
    );
    expect(most).toBeGreaterThan(0.05);
    expect(text).toContain(`At most ${Math.round(100 * most)} % is used, on `);
    expect(text).toMatch(/Nothing is damaged\. Nearest to its limit is the /);
  });

  it('has nothing to say of cold that does not come', async () => {
    const text = flat(
      shown(await explainAt(unitIn({ water: { state: 'in-use' } }, nights(4, 9)), 'blue', NOW)),
    );
    expect(text).toContain(
      'Outside it stays at 39 °F or above. No part takes any of the cold, so nothing is damaged.',
    );
  });

  it('without water in it has no part to show', async () => {
    const water = { state: 'winterized', method: 'air', traps: true };
    const text = flat(shown(await explainAt(unitIn({ water }), 'blue', NOW)));
    expect(text).toContain(
      'No part holds water that could break it, and this cold does nothing to what is left',
    );
    expect(text).toContain('│ empty │');
  });
});

it('ice that breaks nothing is not called damage, nor near to it', async () => {
  const answer = await explainAt(unitIn(LIVED_IN), 'blue', NOW);
  const text = flat(shown(answer));
  const roomy = answer.parts.filter((p) => p.headroom);
  expect(roomy.map((p) => p.id)).toContain('petcock');
  expect(text).toMatch(/breaks nothing, since it has room to grow into: [^.]*tank petcock/);
  expect(text).not.toMatch(/- [ABC]: tank petcock/);
});

/** The table's row of its one part, whose cells may be of several lines. */
function partRow(answer: ExplainAnswer): string {
  const lines = shown(answer).split('\n');
  const from = lines.findIndex((line) => line.startsWith('│ elbow'));
  const rows = lines.slice(
    from,
    lines.findIndex((line, i) => i > from && !line.startsWith('│')),
  );
  const cells = rows.map((line) =>
    line
      .split('│')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
  const joined = (cells[0] ?? []).map((_, i) =>
    cells
      .map((row) => row[i] ?? '')
      .join(' ')
      .trim(),
  );
  return `│ ${joined.join(' │ ')} │`;
}

it('reads tap where that is the word, but in what the user has named', async () => {
  const own = [
    {
      id: 'pot',
      label: 'pot faucet',
      zone: 'inside',
      circuit: 'cold',
      water: '20 g',
      conductance: '0.1 W/K',
    },
  ];
  const spec = configOf({ units: [{ ...UNIT, ...LIVED_IN, parts: { own } }] });
  const config = scenario(
    { ...spec, display: { words: { faucet: 'tap' } } },
    { 'series.csv': nights(-10, 2) },
  );
  const answer = await explainAt(config, 'blue', NOW);
  expect(shown(answer)).toContain('kitchen tap cartridge');
  expect(shown(answer)).toContain('pot faucet');
  expect(shown(answer)).not.toMatch(/(kitchen|bathroom) faucet/);
  const [checked] = (await checkAt(config, NOW)).units;
  const label = (id: string): unknown => checked?.parts?.find((p) => p.id === id)?.label;
  expect(label('bath-faucet')).toBe('bathroom tap cartridge');
});

it('a drained unit is told by what is left in it and by its antifreeze, not by a budget', async () => {
  const own = [
    { id: 'elbow', zone: 'outside', circuit: 'cold', water: '20 g', conductance: '0.1 W/K', pocket: false },
  ];
  const parts = { catalogue: false, own };
  const drained = await explainAt(
    unitIn({ parts, water: { state: 'drained', quality: 'well' } }),
    'blue',
    NOW,
  );
  expect(flat(shown(drained))).toContain('has been at or below 25 °F for 6 h.');
  expect(partRow(drained)).toMatch(/│ elbow +│ outside +│ drained, 6 h at 25 °F *│ Fri \d\d:\d\d │/);
  const weak = { state: 'winterized', method: 'antifreeze', concentration: 10 };
  const thinned = await explainAt(unitIn({ parts, water: weak }), 'blue', NOW);
  expect(flat(shown(thinned))).toMatch(
    /The elbow goes first, about .* Its antifreeze bursts nothing down to 22 °F/,
  );
  expect(partRow(thinned)).toMatch(/│ elbow +│ outside +│ antifreeze, bursts at 22 °F *│ Fri \d\d:\d\d │/);
  for (const line of shown(thinned).split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
  const strong = await explainAt(unitIn({ parts, water: { ...weak, concentration: 40 } }), 'blue', NOW);
  expect(partRow(strong)).toMatch(/│ antifreeze, bursts at −\d+ °F *│ — +│/);
});

it('a unit whose record is damaged says so, in words, in JSON and by its exit code', async () => {
  const config = unitIn({ water: { state: 'winterized', method: 'air' } });
  await roundAt(config, NOW);
  const database = new SqliteDatabase(config.store.path);
  database.prepare("update unit set memory = '{bad'").run();
  database.close();
  const told = await cli('explain', '-c', config.file, 'blue', '--now', NOW);
  expect(told.exit).toBe(EXIT.store);
  expect(flat(told.text)).toContain(
    'unit blue is damaged: what was done to it and what was told of it is unknown. It is taken as full of water here.',
  );
  const json = await cli('explain', '-c', config.file, 'blue', '--now', NOW, '--json');
  expect(json.exit).toBe(EXIT.store);
  expect(JSON.parse(json.text)).toMatchObject({ waterState: 'unknown', problem: { code: 'store-damaged' } });
});

it('the check table says in a line how long the heat lasts and the unit does without it', async () => {
  const { text } = await cli('check', '-c', unitIn(LIVED_IN).file, '--now', NOW);
  const line = text.replace(/[│\s]+/g, ' ');
  expect(line).toMatch(/The gas on board lasts until \w+ \d\d:\d\d; have it refilled before\./);
  expect(line).toMatch(/If heat or power stops, it holds out about [\d.]+ h at worst, then the .* goes\./);
});

async function cli(...args: string[]): Promise<{ exit: number; text: string }> {
  let text = '';
  const write = (more: string): void => void (text += more);
  const exit = await runCli(args, { env: {}, write, complain: write, now: () => seconds(NOW) });
  return { exit, text };
}
