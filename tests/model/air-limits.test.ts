/** Where air comes to freezing within an hour, and how much cold it brings: curves whose zeros are known. */
import { describe, expect, it } from 'vitest';
import { integrate } from '../support/ode.ts';
import { piecesOf, type AirPiece, type MadeAir } from '../support/part-run.ts';

const HOUR = 3600;

/** y = a + b·t + Σ e^(αt)·(p·cos βt + q·sin βt) for one hour. */
function hour(a: number, b: number, ...modes: readonly Partial<Mode>[]): MadeAir {
  return { a, b, durationS: HOUR, modes: modes.map((mode) => ({ ...STILL, ...mode })) };
}

type Mode = NonNullable<MadeAir['modes']>[number];
const STILL: Mode = { alpha: -1 / 1000, beta: 0, p: 0, q: 0 };

function valueOf({ a, b, modes = [] }: MadeAir, t: number): number {
  return modes.reduce(
    (sum, { alpha, beta, p, q }) =>
      sum + Math.exp(alpha * t) * (p * Math.cos(beta * t) + q * Math.sin(beta * t)),
    a + b * t,
  );
}

/** Where one piece ends and the next begins, the ends of all left out. */
function crossings(pieces: readonly AirPiece[]): number[] {
  return pieces.slice(1).map(({ fromS }) => fromS);
}

function sides(pieces: readonly AirPiece[]): string {
  return pieces.map(({ isBelow }) => (isBelow ? '−' : '+')).join('');
}

/** They follow each other without a hole, on the side that is said, with values and cold of the curve itself. */
function expectSound(air: MadeAir, pieces: readonly AirPiece[]): void {
  expect(pieces[0]?.fromS).toBe(0);
  expect(pieces.at(-1)?.untilS).toBeCloseTo(air.durationS, 9);
  pieces.forEach(({ fromS, untilS, isBelow, valuesC, kelvinSeconds }, i) => {
    if (i > 0) expect(fromS).toBeCloseTo(pieces[i - 1]!.untilS, 9);
    const instants = [fromS, (fromS + untilS) / 2, untilS];
    for (const [k, t] of instants.entries()) expect(valuesC[k]).toBeCloseTo(valueOf(air, t), 9);
    expect(valuesC[1] < 0).toBe(isBelow);
    const [cold] = integrate((t) => [valueOf(air, t)], [0], { from: fromS, to: untilS });
    expect(kelvinSeconds).toBeCloseTo(cold!, 5);
  });
}

describe('air comes to freezing', () => {
  it.each<[string, MadeAir, string, readonly number[]]>([
    ['falling evenly', hour(1, -1 / 1000), '+−', [1000]],
    ['rising evenly', hour(-1, 1 / 1000), '−+', [1000]],
    // 3·e^(−t/1000) = 1.
    ['as it settles', hour(-1, 0, { p: 3 }), '+−', [1000 * Math.log(3)]],
    ['as it settles above', hour(1, 0, { p: -3 }), '−+', [1000 * Math.log(3)]],
    // e^(t/1000) = 3.
    ['ever faster', hour(3, 0, { alpha: 1 / 1000, p: -1 }), '+−', [1000 * Math.log(3)]],
    // cos of one turn in 20 minutes, whatever it is damped by.
    [
      'as it swings',
      hour(0, 0, { alpha: -1 / 2000, beta: Math.PI / 600, p: 1 }),
      '+−+−+−+',
      [300, 900, 1500, 2100, 2700, 3300],
    ],
    [
      'as it swings ever wider',
      hour(0, 0, { alpha: 1 / 3000, beta: Math.PI / 600, p: 1 }),
      '+−+−+−+',
      [300, 900, 1500, 2100, 2700, 3300],
    ],
    // cos x + sin x = 0 at three eighths of a turn.
    ['half a swing ahead', hour(0, 0, { beta: Math.PI / 2400, p: 1, q: 1 }), '+−', [1800]],
    // Two modes that make a square: (e^(−t/1000) − 1/2)² = 0.01 where e^(−t/1000) is 0.6 or 0.4.
    [
      'for a while in between',
      hour(0.24, 0, { alpha: -1 / 500, p: 1 }, { p: -1 }),
      '+−+',
      [-1000 * Math.log(0.6), -1000 * Math.log(0.4)],
    ],
    [
      'for a while, the other way about',
      hour(-0.24, 0, { alpha: -1 / 500, p: -1 }, { p: 1 }),
      '−+−',
      [-1000 * Math.log(0.6), -1000 * Math.log(0.4)],
    ],
    // The same of ±0.0001: 16 seconds between both crossings.
    [
      'for a moment that both ends of the hour know nothing of',
      hour(0.25 - 1.6e-5, 0, { alpha: -1 / 500, p: 1 }, { p: -1 }),
      '+−+',
      [-1000 * Math.log(0.504), -1000 * Math.log(0.496)],
    ],
  ])('%s', (_what, air, expected, instants) => {
    const pieces = piecesOf([air]);
    expect(sides(pieces)).toBe(expected);
    crossings(pieces).forEach((at, i) => expect(Math.abs(at - instants[i]!)).toBeLessThan(1e-6));
    expectSound(air, pieces);
  });
});

describe('air that does not come to freezing', () => {
  it.each<[string, MadeAir, string]>([
    ['stays above', hour(2, -1 / 3600), '+'],
    ['stays below', hour(-2, 1 / 3600), '−'],
    ['ends at it', hour(1, -1 / HOUR), '+'],
    ['begins at it and rises', hour(0, 1 / 1000), '+'],
    ['begins at it and falls', hour(0, -1 / 1000), '−'],
    ['begins at it and settles above', hour(1, 0, { p: -1 }), '+'],
    ['begins at it and settles below', hour(-1, 0, { p: 1 }), '−'],
    ['nears it for ever', hour(0, 0, { p: 1 }), '+'],
    ['swings above it', hour(1.5, 0, { alpha: -1e-5, beta: Math.PI / 600, p: 1, q: 1 }), '+'],
    ['swings below it', hour(-1.5, 0, { alpha: -1e-5, beta: Math.PI / 600, p: 1, q: 1 }), '−'],
    // (e^(−t/1000) − 1/2)² and a little more.
    ['all but touches it', hour(0.2501, 0, { alpha: -1 / 500, p: 1 }, { p: -1 }), '+'],
    ['all but touches it from below', hour(-0.2501, 0, { alpha: -1 / 500, p: -1 }, { p: 1 }), '−'],
  ])('since it %s is one piece', (_what, air, side) => {
    const pieces = piecesOf([air]);
    expect(sides(pieces)).toBe(side);
    expectSound(air, pieces);
  });

  it('at it all the time is not below', () => {
    expect(sides(piecesOf([hour(0, 0)]))).toBe('+');
  });
});

describe('a zone that follows with a lag', () => {
  const LAG_S = 1500;
  /** By the solver: y' = (air − y)/lag, from balance at the start; °C at the hours. */
  function followed(air: readonly MadeAir[]): number[] {
    let [y] = [valueOf(air[0]!, 0)];
    return air.map((one) => {
      const rate = (t: number, [at = 0]: readonly number[]): number[] => [(valueOf(one, t) - at) / LAG_S];
      y = integrate(rate, [y], { from: 0, to: one.durationS })[0]!;
      return y;
    });
  }

  it.each<[string, readonly MadeAir[]]>([
    ['hours that rise and fall', [hour(4, -1 / 500), hour(-3.2, 1 / 600), hour(2.8, 0)]],
    ['hours that settle', [hour(-1, 0, { p: 3 }), hour(1, 0, { alpha: -1 / 4000, p: -2 }), hour(-2, 0)]],
    [
      'hours that swing',
      [
        hour(1, 0, { alpha: -1 / 2000, beta: Math.PI / 900, p: 4, q: -3 }),
        hour(-1, 1e-4, { alpha: -1 / 2000, beta: Math.PI / 500, p: 2, q: 5 }, { p: 1 }),
      ],
    ],
    ['pieces of hours', [1000, 500, 2100].map((durationS, i) => ({ ...hour(2 - 3 * i, -1e-3), durationS }))],
    // Two modes that all but cancel, each 30 thousand times as large as what they leave.
    ['what is all but as fast', [1, 2].map((p) => hour(-0.2, 0, { alpha: (-1 + 1e-4) / LAG_S, p }))],
  ])('through %s is where its own equation puts it', (_what, air) => {
    const pieces = piecesOf(air, LAG_S);
    let endS = 0;
    const ends = followed(air);
    air.forEach(({ durationS }, i) => {
      endS += durationS;
      const last = pieces.findLast(({ untilS }) => untilS < endS + 1e-3)!;
      expect(last.untilS).toBeCloseTo(endS, 6);
      expect(Math.abs(last.valuesC[2] - ends[i]!), `piece ${i}`).toBeLessThan(2e-6);
      // It goes on from where it was.
      const next = pieces.find(({ fromS }) => Math.abs(fromS - endS) < 1e-6);
      if (next !== undefined) expect(Math.abs(next.valuesC[0] - ends[i]!)).toBeLessThan(2e-6);
    });
    for (const { isBelow, valuesC } of pieces) expect(valuesC[1] < 0).toBe(isBelow);
    // Cold of the whole: ∫y = ∫air − lag·(y(end) − y(0)).
    const airKs = air.reduce(
      (sum, one) => sum + integrate((t) => [valueOf(one, t)], [0], { from: 0, to: one.durationS })[0]!,
      0,
    );
    const wholeKs = pieces.reduce((sum, { kelvinSeconds }) => sum + kelvinSeconds, 0);
    expect(wholeKs).toBeCloseTo(airKs - LAG_S * (ends.at(-1)! - valueOf(air[0]!, 0)), 1);
  });

  it('is in balance with the air at the start', () => {
    expect(piecesOf([hour(7, 0)], LAG_S)[0]?.valuesC[0]).toBe(7);
  });
});
