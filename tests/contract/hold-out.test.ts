/** How long a unit holds out: physics by cases so plain that their order is known, in a unit of one node and one part. */
import { describe, expect, it } from 'vitest';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, scenario } from '../support/scenario.ts';

/** Noon in Denver. */
const NOW = '2026-12-10T19:00:00Z';
const HOUR_S = 3600;

/** By hour from now. */
type Air = (hour: number) => number;

/** 200 W/K to outside and 2 MJ/K inside: time constant 2.8 h. 1 kW holds 5 K, 8 kW 40 K. */
const NETWORK = { insideOutside: '200 W/K', insideCapacity: '2 MJ/K', insideUnderbelly: '0 W/K' };
const PIPE = {
  id: 'pipe',
  zone: 'inside',
  circuit: 'cold',
  water: '50 g',
  conductance: '0.5 W/K',
  body: 'rigid',
};

async function told(air: Air, { furnace = '8 kW', heat = {}, more = {} } = {}) {
  const temperatureC = Array.from({ length: 24 + 240 }, (_, i) => air(i - 24));
  const csv = csvOf({
    start: iso(seconds(NOW) - 24 * HOUR_S),
    temperatureC,
    windSpeedMps: temperatureC.map(() => 0),
  });
  const unit = {
    id: 'blue',
    place: 'creek',
    kind: 'travel-trailer',
    belly: 'open',
    contacts: ['ann'],
    attended: true,
    water: { state: 'in-use' },
    heat: { set: '10 °C', furnace, ...heat },
    network: NETWORK,
    parts: { catalogue: false, own: [PIPE] },
    ...more,
  };
  const [answer] = (await checkAt(scenario(configOf({ units: [unit] }), { 'series.csv': csv }), NOW)).units;
  if (answer?.holdOut === undefined) throw new Error('no heat');
  return { ...answer, holdOut: answer.holdOut };
}

describe('a part counts', () => {
  it('where the heat keeps it', async () => {
    const { holdOut, firstDamage } = await told(() => -10);
    expect(firstDamage?.median).toBeNull();
    expect(holdOut?.firstPart).toBe('pipe');
  });

  it('and not where it freezes with the heat on, if later', async () => {
    // 1 kW leaves it at −5 °C inside, where it was +5 before the cold came.
    const { holdOut, firstDamage } = await told((h) => (h < 0 ? 0 : -10), { furnace: '1 kW' });
    expect(firstDamage?.median).not.toBeNull();
    expect(holdOut).toBeNull();
  });

  it('though heat that lasts for days will not last to the forecast’s end', async () => {
    // 40 kg of propane give some 1.4 GJ inside, 4 kW for four days.
    const heat = { propane: '40 kg', cylinder: '40 kg', refilled: false };
    const { holdOut, firstDamage } = await told(() => -10, { heat });
    expect(firstDamage?.median).not.toBeNull();
    expect(holdOut?.firstPart).toBe('pipe');
    expect(seconds(holdOut?.stopsAt ?? '')).toBeLessThan(seconds(firstDamage?.median ?? '') - 48 * HOUR_S);
  });
});

it('the stop that counts is the worst, not the first: the second night is the colder one', async () => {
  // −4 from 6 to 18 h, −25 from 30 to 42 h, 3 °C between and after.
  const air: Air = (h) => (h >= 6 && h < 18 ? -4 : h >= 30 && h < 42 ? -25 : 3);
  const { holdOut } = await told(air);
  const first = await told((h) => (h >= 6 && h < 18 ? -4 : 3));
  const stopsAt = (seconds(holdOut?.stopsAt ?? '') - seconds(NOW)) / HOUR_S;
  expect(stopsAt).toBeGreaterThanOrEqual(24);
  expect(stopsAt).toBeLessThan(42);
  expect(holdOut?.hours).toBeLessThan(first.holdOut?.hours ?? Infinity);
  // Newton's law: 35 K above −25 °C fall to 25 K above it in ln(35/25) time constants, and no part freezes before.
  expect(holdOut?.hours).toBeGreaterThan(2.78 * Math.log(35 / 25));
});

describe('a unit that is to be kept warm', () => {
  it('holds out from the heat that is advised, though none is on now', async () => {
    // Long cold before the forecast's end: whichever way it came to be warm, the same stop leaves the same time.
    const on = await told(() => -10, { heat: { running: true } });
    const off = await told((h) => (h < 0 ? 5 : -10), { heat: { running: false } });
    expect(off.advice?.action).toBe('keep-warm');
    expect(off.holdOut?.firstPart).toBe('pipe');
    // Newton's law from 10 °C in −10: ln(20/10) time constants to 0 °C, and then the pipe's ice.
    expect(off.holdOut?.hours).toBeGreaterThan(0);
    expect(off.holdOut?.hours).toBeLessThanOrEqual((on.holdOut?.hours ?? 0) + 0.5);
    // When gas runs out is told of heat that is on.
    expect(off).not.toHaveProperty('heatLasts');
  });

  it('holds out from the heat that its list leaves it, not from a post that has tripped', async () => {
    const more = { belly: 'open', power: { supply: 'shore', breaker: '15 A' } };
    const { advice, overload, holdOut } = await told((h) => (h < 3 ? 5 : -10), {
      heat: { electric: '6 kW' },
      more,
    });
    expect(overload).toEqual({ askedW: 6000, borneW: 1440 });
    expect(advice?.action).toBe('keep-warm');
    expect(advice?.measures).toContain('heaters-down');
    expect(holdOut?.firstPart).toBe('pipe');
    expect(holdOut?.hours).toBeGreaterThan(2.78 * Math.log(20 / 10));
  });

  it('has no hours where it is drained instead, and no heat is on', async () => {
    await expect(
      told((h) => (h < 0 ? 5 : -60), { furnace: '1 kW', heat: { running: false } }),
    ).rejects.toThrow('no heat');
  });
});
