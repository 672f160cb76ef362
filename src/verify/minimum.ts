/** The least value of a function of few variables, each within its bounds. */
export interface Least {
  readonly at: readonly number[];
  readonly value: number;
}

/** Steps of the coarse grid along each variable, and golden sections of what is left of it. */
const COARSE = 4;
const SECTIONS = 7;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Variable by variable, the others at their own least for each value of the first: slow, and not led astray by a
 * valley that runs across. Each is found to 1/60 of its range where there is one minimum between grid lines.
 */
export function leastOver(
  f: (at: readonly number[]) => number,
  ranges: readonly (readonly [number, number])[],
  fixed: readonly number[] = [],
): Least {
  const [range, ...rest] = ranges;
  if (range === undefined) return { at: fixed, value: f(fixed) };
  return leastAlong((x) => leastOver(f, rest, [...fixed, x]), range);
}

function leastAlong(f: (x: number) => Least, [low, high]: readonly [number, number]): Least {
  const grid = Array.from({ length: COARSE + 1 }, (_, i) => low + ((high - low) * i) / COARSE);
  const coarse = grid.map(f);
  const best = coarse.reduce(
    (least, one, i) => (one.value < (coarse[least]?.value ?? Infinity) ? i : least),
    0,
  );
  let [from, to] = [grid[best - 1] ?? low, grid[best + 1] ?? high];
  let [x1, x2] = [to - GOLDEN * (to - from), from + GOLDEN * (to - from)];
  let [f1, f2] = [f(x1), f(x2)];
  for (let i = 0; i < SECTIONS; i++) {
    if (f1.value < f2.value) {
      [to, x2, f2] = [x2, x1, f1];
      x1 = to - GOLDEN * (to - from);
      f1 = f(x1);
    } else {
      [from, x1, f1] = [x1, x2, f2];
      x2 = from + GOLDEN * (to - from);
      f2 = f(x2);
    }
  }
  return [f1, f2, ...coarse].reduce((least, one) => (one.value < least.value ? one : least));
}
