/** A part in air that swings within the hour, as a furnace and its duct can make it, against an independent solver. */
import { describe, expect, it } from 'vitest';
import { SHORE } from '../../src/model/zone-track.ts';
import { integrate } from '../support/ode.ts';
import { runThrough, type From, type MadeAir } from '../support/part-run.ts';
import { plainPart } from '../support/plain-part.ts';

/** 420 s as water, 211 s as ice. */
const PART = plainPart({ id: 'inlet', label: 'inlet', zone: 'bay', circuit: 'inlet', waterKg: 0.05 });
const LATENT = 0.05 * 333_550;

/** An hour and some of swings of a quarter and of half an hour about a level that rises or falls. */
function swings(a: number, b: number, durationS = 3600): MadeAir {
  const modes = [
    { alpha: -1 / 9000, beta: (2 * Math.PI) / 900, p: 2, q: -1.5 },
    { alpha: -1 / 4000, beta: 0, p: 1, q: 0 },
    { alpha: -1 / 9000, beta: (2 * Math.PI) / 1800, p: -1, q: 2 },
  ];
  return { a, b, durationS, modes, supply: SHORE };
}

function airAt({ a, b, modes = [] }: MadeAir, t: number): number {
  return modes.reduce(
    (sum, { alpha, beta, p, q }) =>
      sum + Math.exp(alpha * t) * (p * Math.cos(beta * t) + q * Math.sin(beta * t)),
    a + b * t,
  );
}

/** Its enthalpy at the end by odex, whose own steps find the kinks [J]. */
function enthalpyAfter(air: MadeAir, startJ: number): number {
  const temperature = (h: number): number => {
    if (h > 0) return h / 210;
    return h >= -LATENT ? 0 : (h + LATENT) / 105.5;
  };
  const rate = (t: number, [h = 0]: readonly number[]): number[] => [0.5 * (airAt(air, t) - temperature(h))];
  return integrate(rate, [startJ], { from: 0, to: air.durationS })[0]!;
}

describe('a part in swinging air', () => {
  it.each<[string, MadeAir, From, number]>([
    ['that stays above freezing is followed', swings(6, 1e-4), { temperatureC: 9 }, 9 * 210],
    [
      'that stays below is followed as ice',
      swings(-7, -1e-4),
      { temperatureC: -1, taken: 1, solid: true },
      -LATENT - 105.5,
    ],
    ['about freezing freezes and thaws', swings(0, 1e-4), { temperatureC: 0.01 }, 2.1],
    ['just below freezing gathers ice', swings(-1, 0), { temperatureC: 0, taken: 0.1 }, -0.1 * LATENT],
    ['just above freezing thaws it', swings(0.7, 0), { temperatureC: 0, taken: 0.12 }, -0.12 * LATENT],
    ['and part of an hour is the same', swings(3, 1e-4, 2222), { temperatureC: 5 }, 5 * 210],
  ])('%s', (_what, air, from, startJ) => {
    const { end } = runThrough(PART, [air], from);
    const theirs = enthalpyAfter(air, startJ);
    const temperatureC = theirs > 0 ? theirs / 210 : Math.min(0, (theirs + LATENT) / 105.5);
    expect(Math.abs(end.temperatureC - temperatureC)).toBeLessThan(2e-6);
    expect(Math.abs(end.taken - Math.min(1, Math.max(0, -theirs / LATENT)))).toBeLessThan(1e-6);
  });

  it('passes its line when it has taken its cold', () => {
    // At the instant that is found the cold that has come is that of a fifth of all ice.
    const air = swings(-9, 0);
    const { events } = runThrough(PART, [air], { temperatureC: 0 });
    const blocked = events.find(({ line }) => line === 'blocked')!.at;
    const [cold] = integrate((t) => [airAt(air, t)], [0], { from: 0, to: blocked });
    expect(cold! * -0.5).toBeCloseTo(0.2 * LATENT, 3);
  });

  it('is held by its heater', () => {
    // 5 W are worth 10 K: air from about −5 to 3 °C never takes it from its 4 °C.
    const held = { ...PART, heat: { watts: 5, onBelowC: 4, needs: 'shore' } } as const;
    expect(runThrough(held, [swings(-1, 0)], { temperatureC: 4 }).end.temperatureC).toBeCloseTo(4, 9);
  });
});
