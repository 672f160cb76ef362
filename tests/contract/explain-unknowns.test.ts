/**
 * What `explain` says would change the answer. Physics: colder air never spares a part nor lets it live longer, warmer
 * air never takes one; parts that hang outside are lost with the heat on or off, those inside by its end.
 */
import { describe, expect, it } from 'vitest';
import type { ExplainAnswer } from '../../src/app/explain-answer.ts';
import { explainText } from '../../src/cli/explain-text.ts';
import { iso, seconds } from '../support/instants.ts';
import { configOf, csvOf, explainAt, scenario } from '../support/scenario.ts';

/** Noon in Denver. */
const NOW = '2026-12-10T19:00:00Z';

type Effect = ExplainAnswer['sensitivity'][number];

const LIVED_IN = {
  attended: true,
  length: '30 ft',
  belly: 'heated',
  hose: 'connected',
  heat: { set: '18 °C', furnace: '30000 BTU/h', ductedShare: 0.12, propane: '30 lb' },
};

/** Coldest at 5 in the morning there, every night from `firstNight` hours after now, before now milder; before that mild. */
async function told(over: object, { lowC = -10, firstNight = 2, milder = 0 } = {}): Promise<ExplainAnswer> {
  const temperatureC = Array.from({ length: 72 + 100 }, (_, i) => {
    const hour = i - 72;
    const dayC = lowC + 12;
    if (hour < firstNight) return 10;
    return (hour < 0 ? milder : 0) + (lowC + dayC) / 2 - 6 * Math.cos((2 * Math.PI * (hour - 17)) / 24);
  });
  const csv = csvOf({
    start: iso(seconds(NOW) - 72 * 3600),
    temperatureC,
    windSpeedMps: temperatureC.map(() => 2),
  });
  const unit = {
    id: 'blue',
    place: 'creek',
    kind: 'travel-trailer',
    contacts: ['ann'],
    water: { state: 'in-use' },
  };
  return explainAt(scenario(configOf({ units: [{ ...unit, ...over }] }), { 'series.csv': csv }), 'blue', NOW);
}

function effect(answer: ExplainAnswer, unknown: string, change?: string): Effect {
  const found = answer.sensitivity.find((s) => s.unknown === unknown && (change ?? s.change) === s.change);
  if (found === undefined) throw new Error(`no ${unknown}`);
  return found;
}

function said(answer: ExplainAnswer): string {
  const text = explainText(answer, { temperature: 'F', timeZone: 'America/Denver' });
  return text.slice(text.indexOf('What would change')).replace(/\s+/g, ' ');
}

describe('a unit that somebody lives in, whose hose is lost anyway', () => {
  it('loses what its heat keeps once all heat stops, and is told so', async () => {
    const answer = await told(LIVED_IN);
    const stop = effect(answer, 'heat');
    const inside = answer.parts.filter((p) => p.zone === 'inside' || p.zone === 'underbelly');
    expect(stop.hoursEarlier).toBe(0);
    const more = stop.moreParts.map(({ part }) => part);
    expect(more.length).toBeGreaterThan(3);
    expect(inside.some(({ id }) => more.includes(id))).toBe(true);
    expect(stop.moreParts.map(({ at }) => at)).toEqual(stop.moreParts.map(({ at }) => at).toSorted());
    expect(said(answer)).toContain(`If all heat stops now: ${more.length} more parts are lost, the `);
    expect(said(answer)).not.toMatch(/Nothing changes if [^.]*heat stops/);
  });

  it('has the unknown first that parts hang on, and of those that move none the one that moves most hours', async () => {
    const { sensitivity } = await told(LIVED_IN);
    const sizes = sensitivity.map((s) => [
      s.moreParts.length + s.fewerParts.length,
      Math.max(Math.abs(s.hoursEarlier ?? 0), Math.abs(s.mostMoved?.hoursEarlier ?? 0)),
    ]);
    expect(sizes).toEqual(sizes.toSorted((x, y) => y[0]! - x[0]! || y[1]! - x[1]!));
    expect(sizes[0]).not.toEqual(sizes.at(-1));
    const still = sizes.filter(([parts]) => parts === 0).map(([, hours]) => hours);
    expect(new Set(still).size).toBeGreaterThan(1);
  });

  it('is never better off in colder air, nor worse in warmer', async () => {
    const answer = await told(LIVED_IN);
    const colder = effect(answer, 'air', '2 K colder');
    expect(colder.hoursEarlier).toBeGreaterThan(0);
    expect(colder.mostMoved?.hoursEarlier).toBeGreaterThan(0);
    expect(colder.fewerParts).toEqual([]);
    const warmer = effect(answer, 'air', '2 K warmer');
    expect(warmer.hoursEarlier).toBeLessThan(0);
    expect(warmer.mostMoved?.hoursEarlier).toBeLessThan(0);
    expect(warmer.moreParts).toEqual([]);
    expect(said(answer)).toMatch(/If the air is 3\.6 °F colder: the first damage \w+ hours? earlier/);
  });
});

it('a night that has already done damage is not forgotten: warmer air brings nothing forward', async () => {
  // Two nights before now, two and more after it.
  const own = [{ id: 'elbow', zone: 'outside', circuit: 'cold', water: '50 g', conductance: '0.2 W/K' }];
  const parts = { catalogue: false, own };
  const answer = await told({ heat: 'none', belly: 'open', parts }, { lowC: -7, firstNight: -40 });
  const colder = effect(answer, 'air', '2 K colder');
  const warmer = effect(answer, 'air', '2 K warmer');
  expect(seconds(colder.firstDamageAt ?? '')).toBeLessThan(seconds(NOW));
  expect(colder.hoursEarlier).toBeGreaterThan(0);
  expect(warmer.hoursEarlier).toBeLessThan(0);
});

it('what colder air would have frozen by now is not told as yet to come', async () => {
  const own = [{ id: 'elbow', zone: 'outside', circuit: 'cold', water: '50 g', conductance: '0.2 W/K' }];
  const unit = { heat: 'none', belly: 'open', parts: { catalogue: false, own } };
  const tonight = await told(unit, { lowC: -7, firstNight: -40, milder: 6.5 });
  const colder = effect(tonight, 'air', '2 K colder');
  expect(seconds(colder.firstDamageAt ?? '')).toBeLessThan(seconds(NOW));
  expect(said(tonight)).toMatch(
    /If the air is 3\.6 °F colder: it would already have frozen, about (Wed|Thu) \d\d:\d\d: the first damage \d+ hours earlier/,
  );
  const never = await told(unit, { lowC: -0.5, firstNight: -40 });
  expect(effect(never, 'air', '2 K colder').hoursEarlier).toBeNull();
  expect(said(never)).toMatch(
    /3\.6 °F colder: it would already have frozen, about (Tue|Wed) [^.]*, one part in all/,
  );
});

describe('heat that no furnace gives', () => {
  const electric = { set: '18 °C', electric: '3 kW' };

  it('has no share of a furnace below, and no gas for it', async () => {
    const answer = await told({ ...LIVED_IN, heat: electric, power: { supply: 'shore' } });
    expect(answer.sensitivity.map((s) => s.unknown)).not.toContain('share of the furnace’s output below');
    expect(answer.sensitivity.map((s) => s.unknown)).toContain('heat');
    expect(said(answer)).not.toContain('furnace');
  });

  it('and a furnace without a duct has none below either', async () => {
    const heat = { ...LIVED_IN.heat, ductedShare: 0 };
    const unknowns = (await told({ ...LIVED_IN, belly: 'enclosed', heat })).sensitivity.map((s) => s.unknown);
    expect(unknowns).not.toContain('share of the furnace’s output below');
    expect(unknowns).toContain('gas on board');
  });
});
