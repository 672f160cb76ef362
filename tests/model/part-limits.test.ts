/**
 * A part with a heater worked by hand, and the short way to the first damage against the long one, piece by piece.
 * 1 kg of water at 0.5 W/K has a time constant of 8400 s (4200 J/(kg·K)) and freezes for 333 550 J.
 */
import { describe, expect, it } from 'vitest';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { PartBody } from '../../src/model/part.ts';
import { Trace, runPart } from '../../src/model/trace.ts';
import type { Part, PartHeat } from '../../src/model/unit.ts';
import { GAS, SHORE } from '../../src/model/zone-track.ts';
import { hourly, runThrough, type From } from '../support/part-run.ts';
import { Random } from '../support/random.ts';
import { randomPlan, randomUnit, randomWeather } from '../support/random-unit.ts';
import { steadyUnit } from '../support/steady-unit.ts';
import { plainPart } from '../support/plain-part.ts';

const TAU_S = 8400;

/** 10 W, which are worth 20 K, on below 7 °C. */
function heated(needs: PartHeat['needs'] = 'shore'): Part {
  return plainPart({ id: 'pad', label: 'pad', zone: 'inside', heat: { watts: 10, onBelowC: 7, needs } });
}

/** After so many seconds in air that does not change. */
function after(seconds: number, airC: number, from: From, part = heated(), supply = SHORE) {
  return runThrough(part, [{ a: airC, b: 0, durationS: seconds, supply }], from);
}

describe('a heater with a thermostat', () => {
  it('stays off until its part has cooled to where it comes on, and then holds it there', () => {
    // 20 to 7 °C in air of 0 °C.
    const cooling = TAU_S * Math.log(20 / 7);
    expect(after(cooling - 100, 0, { temperatureC: 20 }).end.temperatureC).toBeCloseTo(
      7 * Math.exp(100 / TAU_S),
      6,
    );
    for (const more of [0, 100, 90_000])
      expect(after(cooling + more, 0, { temperatureC: 20 }).end.temperatureC).toBeCloseTo(7, 9);
  });

  it('warms its part towards 20 K above the air, up to where it goes off', () => {
    // From 2 °C in air of 0 °C.
    const warming = TAU_S * Math.log(18 / 13);
    expect(after(1000, 0, { temperatureC: 2 }).end.temperatureC).toBeCloseTo(
      20 - 18 * Math.exp(-1000 / TAU_S),
      6,
    );
    expect(after(warming + 5000, 0, { temperatureC: 2 }).end.temperatureC).toBeCloseTo(7, 9);
  });

  it('lets its part follow air that is warmer than that', () => {
    expect(after(20 * TAU_S, 12, { temperatureC: 7 }).end.temperatureC).toBeCloseTo(12, 6);
    expect(after(20 * TAU_S, 12, { temperatureC: 2 }).end.temperatureC).toBeCloseTo(12, 6);
  });

  it('that is too weak leaves its part where the two balance', () => {
    expect(after(20 * TAU_S, -15, { temperatureC: 7 }).end.temperatureC).toBeCloseTo(5, 6);
    expect(after(20 * TAU_S, -13, { temperatureC: 7 }).end.temperatureC).toBeCloseTo(7, 6);
  });

  it('that is far too weak lets it freeze, by what is missing', () => {
    // 25 K below with 20 K of heat: 5 K short, 2.5 W. From 0 °C to a fifth of ice.
    const blocked = (0.2 * 333_550) / 2.5;
    const { events } = after(40_000, -25, { temperatureC: 0 });
    expect(events.map(({ line }) => line)).toEqual(['zero', 'blocked']);
    expect(events[1]?.at).toBeCloseTo(blocked, 3);
  });

  it('thaws what had frozen, warms it and holds it', () => {
    // Air of −5 °C and 20 K of heat: 15 K above freezing, 7.5 W.
    const thawing = (0.1 * 333_550) / 7.5;
    const ice = { temperatureC: 0, taken: 0.1 };
    expect(after(thawing / 2, -5, ice).end).toMatchObject({ phase: 'ice', temperatureC: 0 });
    expect(after(thawing / 2, -5, ice).end.taken).toBeCloseTo(0.05, 9);
    const warming = TAU_S * Math.log(15 / 8);
    expect(after(thawing + 1000, -5, ice).end.temperatureC).toBeCloseTo(
      15 * (1 - Math.exp(-1000 / TAU_S)),
      6,
    );
    expect(after(thawing + warming + 1000, -5, ice).end).toMatchObject({ phase: 'liquid', temperatureC: 7 });
  });

  it('warms ice to freezing before it thaws it', () => {
    // 2110 J/(kg·K): 4220 s. From −10 °C towards −5 + 20 = 15 °C.
    const toZero = 4220 * Math.log(25 / 15);
    const solid = { temperatureC: -10, taken: 1, solid: true };
    expect(after(toZero - 10, -5, solid).end.phase).toBe('solid');
    expect(after(toZero + 10, -5, solid).end).toMatchObject({ phase: 'ice', temperatureC: 0 });
  });

  it('gives nothing without its own supply', () => {
    const cold = (part: Part, supply: number): number =>
      after(20 * TAU_S, 3, { temperatureC: 7 }, part, supply).end.temperatureC;
    expect([cold(heated('shore'), SHORE), cold(heated('shore'), SHORE + GAS)]).toEqual([7, 7]);
    expect([cold(heated('gas'), GAS), cold(heated('gas'), SHORE + GAS)]).toEqual([7, 7]);
    for (const none of [cold(heated('shore'), GAS), cold(heated('gas'), SHORE), cold(heated('gas'), 0)])
      expect(none).toBeCloseTo(3, 6);
  });
});

it('a heated part is the same whether an hour is taken whole or minute by minute', () => {
  // Through 7 and 0 °C and through both less the heater's 20 K, up and down, as water and as ice.
  const values = [12, 3, -8, -17, -24, -31, -38, -30, -22, -16, -6, 2, 9, -12, -25, 4];
  const of = (cuts: number) =>
    runThrough(
      { ...heated(), waterKg: 0.05 },
      hourly(values, cuts).map((one) => ({ ...one, supply: SHORE })),
      { temperatureC: 9 },
    );
  const [whole, cut] = [of(1), of(60)];
  expect(whole.events.map(({ line }) => line)).toEqual(cut.events.map(({ line }) => line));
  expect(whole.events.map(({ line }) => line)).toContain('solid');
  for (const [i, { at }] of whole.events.entries())
    expect(Math.abs(at - cut.events[i]!.at)).toBeLessThan(1e-6);
  for (const [i, point] of whole.points.entries()) {
    const same = cut.points[60 * i + 59]!;
    expect(Math.abs(point.temperatureC - same.temperatureC), `hour ${i}`).toBeLessThan(1e-9);
    expect(Math.abs(point.taken - same.taken), `hour ${i}`).toBeLessThan(1e-9);
  }
});

describe('a heated part at the start', () => {
  /** Tape on 3 m of half-inch PEX in calm air, of which so much is worth 1 K. */
  function startC(airC: number, worthK: number, shore = true): number {
    const line = {
      id: 'run',
      label: null,
      zone: 'outside',
      circuit: 'cold',
      tube: 'pex-1/2',
      lengthM: 3,
    } as const;
    const unitOf = (tapeWPerM: number) =>
      steadyUnit(null, {
        parts: {
          catalogue: false,
          add: [],
          without: [],
          own: [],
          lines: [{ ...line, sleeveM: 0, tapeWPerM }],
        },
      });
    const { conductanceWPerK } = unitOf(0).parts[0]!;
    const unit = unitOf((worthK * conductanceWPerK) / 3);
    const values = new Float64Array(3).fill(airC);
    const calm = { weight: 1, temperatureC: values, groundC: values, windSpeedMps: new Float64Array(3) };
    const plan = { switches: [{ at: -Infinity, heat: false, shore, gas: true }], suppliedFrom: Infinity };
    const trace = new Trace(unit).solve(hourlyAir(unit, 0, calm), plan);
    return runPart(trace, { part: unit.parts[0]!, wetSince: null }).temperatureC[0]!;
  }

  it('is where its heater holds it: at the thermostat, below it where the heater is weak, never below 0 °C', () => {
    // Tape comes on below 3 °C.
    expect(startC(-5, 20)).toBeCloseTo(3, 9);
    expect(startC(-5, 6)).toBeCloseTo(1, 9);
    expect(startC(-5, 2)).toBe(0);
    expect(startC(8, 20)).toBeCloseTo(8, 9);
  });

  it('is as cold as its air without power', () => {
    expect(startC(2, 20, false)).toBeCloseTo(2, 9);
    expect(startC(-5, 20, false)).toBe(0);
  });
});

describe('the short way to damage', () => {
  /** Seconds at which a part is blocked, each time that it is. */
  function blockedBy(way: 'short' | 'long', trace: Trace, part: Part): number[] {
    const air = trace.airOf(part);
    const body = new PartBody(part);
    const found: number[] = [];
    body.start(air, 0);
    for (let i = 0; i < air.count; i++) {
      if (way === 'short') i = body.untilBlocked(air, i, air.count);
      else body.advance(air, i);
      if (i < air.count && !Number.isNaN(body.passed.blockedS))
        found.push(air.startS(i) + body.passed.blockedS);
    }
    return found;
  }

  it('finds what going piece by piece finds, of every part of units in any weather', () => {
    const random = new Random(20_261_125);
    let seen = 0;
    for (let run = 0; run < 8; run++) {
      const unit = randomUnit(random);
      const hours = 120;
      const { temperatureC, groundC, windMps } = randomWeather(random, hours);
      const member = { weight: 1, temperatureC, groundC, windSpeedMps: windMps };
      const trace = new Trace(unit).solve(hourlyAir(unit, 0, member), randomPlan(random, hours));
      for (const part of unit.parts) {
        const [short, long] = [blockedBy('short', trace, part), blockedBy('long', trace, part)];
        expect(short.length, `${part.id} in run ${run}`).toBe(long.length);
        for (const [k, at] of short.entries())
          expect(Math.abs(at - long[k]!), `${part.id} in run ${run}`).toBeLessThan(1e-3);
        seen += long.length;
      }
    }
    expect(seen).toBeGreaterThan(30);
  });

  it('ends before the piece that it may not go into', () => {
    const part = { ...heated(), zone: 'outside' as const };
    const { heat: _heat, ...bare } = part;
    const unit = { ...steadyUnit(null), parts: [bare] };
    const values = Float64Array.from({ length: 49 }, () => -10);
    const calm = { weight: 1, temperatureC: values, groundC: values, windSpeedMps: new Float64Array(49) };
    const plan = { switches: [], suppliedFrom: Infinity };
    const trace = new Trace(unit).solve(hourlyAir(unit, 0, calm), plan);
    const air = trace.airOf(bare);
    const reach = (to: number): number => {
      const body = new PartBody(bare);
      body.start(air, 0);
      return body.untilBlocked(air, 0, to);
    };
    // A fifth of 333 550 J at 5 W: 13 342 s, in the fourth hour.
    expect([reach(3), reach(4), reach(air.count)]).toEqual([3, 3, 3]);
  });
});

it('a part without a heater never warms by supplies that are there', () => {
  const { heat: _heat, ...bare } = heated();
  const air = hourly([4, 4, 4, 4, 4, 4, 4, 4, 4, 4]).map((one) => ({ ...one, supply: SHORE + GAS }));
  expect(runThrough(bare, air, { temperatureC: 4 }).end.temperatureC).toBeCloseTo(4, 12);
});
