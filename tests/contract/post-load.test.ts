/**
 * Keeping warm on a post: what stays switched on counts, whether it is computed with or not, and nobody relies on heat that
 * nobody watches. The sums are 0.8 of amperes times volts: common practice, no source.
 */
import { describe, expect, it } from 'vitest';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import { iso, seconds } from '../support/instants.ts';
import { CREEK, checkAt, configOf, csvOf, roundAt, scenario } from '../support/scenario.ts';

/** Noon in Denver. */
const NOW = '2026-12-10T19:00:00Z';
const PAST_HOURS = 72;
type Unit = CheckAnswer['units'][number];
type Air = (hour: number) => number;

function config(air: Air, unit: object) {
  const temperatureC = Array.from({ length: 170 }, (_, i) => air(i - PAST_HOURS));
  const csv = csvOf({
    start: iso(seconds(NOW) - PAST_HOURS * 3600),
    temperatureC,
    windSpeedMps: temperatureC.map(() => 1),
    cloudPercent: temperatureC.map(() => 80),
  });
  const units = [{ id: 'blue', place: 'creek', kind: 'travel-trailer', contacts: ['ann'], ...unit }];
  return scenario(configOf({ places: [CREEK], units }), { 'series.csv': csv });
}

async function told(air: Air, unit: object): Promise<Unit> {
  const [answer] = (await checkAt(config(air, unit), NOW)).units;
  if (answer === undefined) throw new Error('the unit has no answer');
  return answer;
}

/** Coldest at 6, warmest at 15 there; mild until tonight. */
function nights(lowC: number, dayC = lowC + 8): Air {
  const mean = (lowC + dayC) / 2;
  return (hour) => (hour < 2 ? 10 : mean + ((dayC - lowC) / 2) * Math.cos((2 * Math.PI * (hour - 3)) / 24));
}

const TRAILER = {
  attended: true,
  length: '24 ft',
  belly: 'enclosed',
  hose: 'connected',
  waterHeater: 'shore',
  water: { state: 'in-use' },
  // What no warmth reaches would hide what keeping warm does.
  parts: { without: ['heater-fittings', 'tank-outlet', 'low-points', 'petcock', 'dump-grey', 'dump-black'] },
};
const POST = { supply: 'shore', breaker: '30 A' };
const HEATERS = { set: '18 °C', furnace: '8 kW', electric: '2.4 kW' };

/** What is on when the list is done, as a reader does it: what it does not name stays as the config has it [W]. */
function onAfter(measures: readonly string[], { electricW = 0, elementW = 0, padsW = 0 }): number {
  const off = (...names: readonly string[]): boolean => names.some((name) => measures.includes(name));
  return (
    (off('heaters-down') ? 0 : electricW) +
    (off('element-off', 'water-heater-on-gas') ? 0 : elementW) +
    (off('pads-off') ? 0 : padsW)
  );
}

describe('a list for dusk', () => {
  it.each([-1, -2, -3, -4, -6])('leaves on no more than the post bears, at %i °C', async (lowC) => {
    // 2.4 kW of heaters and an element of 1.4 kW on a post that bears 2.88 kW.
    const { advice, overload } = await told(nights(lowC), { ...TRAILER, heat: HEATERS, power: POST });
    expect(overload).toEqual({ askedW: 3800, borneW: 2880 });
    if (advice?.action !== 'keep-warm') return;
    expect(onAfter(advice.measures ?? [], { electricW: 2400, elementW: 1400 })).toBeLessThanOrEqual(2880);
  });

  it('names what has to go off, though the cold does not ask for it', async () => {
    const { advice } = await told(nights(-3, 3), { ...TRAILER, heat: HEATERS, power: POST });
    expect(advice?.action).toBe('keep-warm');
    expect(['heaters-down', 'element-off'].some((off) => advice?.measures?.some((m) => m === off))).toBe(
      true,
    );
  });

  it('does not count the element of a heater that holds no water', async () => {
    const water = { state: 'in-use', circuits: { heater: { state: 'drained' } } };
    const { advice, chanceOfDamage } = await told(nights(-3, 3), {
      ...TRAILER,
      heat: HEATERS,
      power: POST,
      water,
    });
    expect(chanceOfDamage).toHaveProperty('keep-warm');
    expect(advice?.measures ?? []).not.toContain('element-off');
  });
});

describe('a post that does not carry the element', () => {
  const ducted = { set: '18 °C', furnace: '8 kW', ductedShare: 0.12, propane: '60 lb' };
  const unit = {
    ...TRAILER,
    belly: 'heated',
    heat: ducted,
    parts: {},
    power: { supply: 'shore', breaker: '15 A', other: '0.3 kW' },
  };

  it('has the water heater on gas where there is gas on board', async () => {
    const { advice, chanceOfDamage } = await told(nights(-4), unit);
    expect(advice?.action).toBe('keep-warm');
    expect(advice?.measures).toContain('water-heater-on-gas');
    expect(advice?.measures).not.toContain('water-heater-on');
    // As well as where it burns gas by config.
    const byConfig = await told(nights(-4), { ...unit, waterHeater: 'gas' });
    expect(chanceOfDamage?.['keep-warm']).toBeCloseTo(byConfig.chanceOfDamage?.['keep-warm'] ?? 1, 9);
    const { messages } = await roundAt(config(nights(-4), unit), NOW);
    const text = messages[0]?.text.replaceAll(/\s+/g, ' ');
    expect(text).toContain('Water heater on propane, its tank full and its element off at the breaker');
  });

  it('and goes without where there is none', async () => {
    const { propane: _propane, ...heat } = ducted;
    const { advice } = await told(nights(-4), { ...unit, heat });
    expect(advice?.measures ?? []).not.toContain('water-heater-on-gas');
  });
});

describe('a unit that nobody is in', () => {
  const left = {
    ...TRAILER,
    attended: false,
    hose: 'none',
    waterHeater: 'off',
    power: { supply: 'shore', breaker: '50 A' },
  };
  // Gas for less than the three days.
  const heat = { set: '15 °C', furnace: '6 kW', running: false, propane: '10 lb', refilled: false };
  const parts = {
    without: [
      ...TRAILER.parts.without,
      'heater-tank',
      'city-inlet',
      'black-flush',
      'flush-breaker',
      'outside-shower',
      'outside-shower-hot',
    ],
  };

  it.each([
    ['electric heaters', { electric: '3 kW' }, 'heaters-down'],
    ['a heat pump', { heatPump: { power: '3 kW' } }, 'heat-pump-off'],
  ])('is no warmer for %s', async (_what, more, measure) => {
    const alone = await told(nights(-3, -1), { ...left, parts, heat });
    const unwatched = await told(nights(-3, -1), { ...left, parts, heat: { ...heat, ...more } });
    expect(alone.chanceOfDamage?.['keep-warm']).toBeGreaterThan(0.5);
    expect(unwatched.chanceOfDamage?.['keep-warm']).toBe(alone.chanceOfDamage?.['keep-warm']);
    const { propane: _propane, refilled: _refilled, ...lasting } = { ...heat, ...more };
    const { advice } = await told(nights(-3, -1), { ...left, parts, heat: lasting });
    expect(advice?.action).toBe('keep-warm');
    expect(advice?.measures).toContain(measure);
  });

  it('is warmer for them where somebody watches', async () => {
    const watched = { ...left, attended: true, parts, heat: { ...heat, electric: '3 kW' } };
    const { chanceOfDamage } = await told(nights(-3, -1), watched);
    expect(chanceOfDamage?.['keep-warm']).toBeLessThan(0.05);
  });
});

describe('a post whose breaker is not given', () => {
  const alone = { ...TRAILER, hose: 'none', waterHeater: 'shore', tankPads: '150 W' };
  const heat = { set: '18 °C', electric: '6 kW' };

  it('is told what would be on, and warned of beyond what the usual one bears', async () => {
    const { assumptions } = await told(nights(-4), { ...alone, belly: 'heated', heat });
    // 6 kW of heaters, an element of 1.4 kW, three pads of 150 W.
    expect(assumptions.join(' ')).toMatch(
      /The breaker of the post is not given: 7850 W would be on at once\. A 30-A post bears 2880 W/,
    );
    const few = await told(nights(-4), { ...alone, heat: { ...heat, electric: '1 kW' }, waterHeater: 'off' });
    expect(few.assumptions.join(' ')).toContain('1450 W would be on at once.');
    expect(few.assumptions.join(' ')).not.toContain('30-A');
  });

  it('says so where the load is checked at dusk', async () => {
    const { messages } = await roundAt(config(nights(-1, 9), { ...alone, heat, hose: 'connected' }), NOW);
    const act = messages.find(({ action }) => action === 'keep-warm');
    expect(act?.text.replaceAll(/\s+/g, ' ')).toMatch(/about [67]\.\d kW would be on at once: read it first/);
  });

  it('is not spoken of where it is given, or where nothing draws on it', async () => {
    const known = await told(nights(-4), { ...alone, heat, power: { supply: 'shore', breaker: '100 A' } });
    expect(known.assumptions.join(' ')).not.toContain('is not given: ');
    const gas = await told(nights(-4), {
      ...alone,
      tankPads: undefined,
      waterHeater: 'gas',
      heat: { set: '18 °C', furnace: '6 kW', propane: '60 lb' },
    });
    expect(gas.assumptions.join(' ')).not.toContain('breaker of the post');
  });
});
