import { normalDistribution, t5Quantile } from '../../src/weather/error-law.ts';
import type { Random } from './random.ts';

const KNOT_HOURS = 12;
/** Correlation from knot to knot: a memory of 36 h. */
const KEPT = Math.exp(-KNOT_HOURS / 36);

/**
 * One course of errors as the law in src/weather/error-law.ts states it, drawn by chance and not from its lattice:
 * every 12 h, linear between, each hour's deviation `atStart` and `perDay` more a day. Normal values by Box and
 * Muller 1958; the tails by the quantiles that tests/weather/error-law.test.ts holds against tables.
 */
export function lawErrors(
  random: Random,
  hours: number,
  { atStartK, perDayK } = { atStartK: 1, perDayK: 0.3 },
): number[] {
  let z = gaussian(random);
  const knots = Array.from({ length: Math.floor((hours - 1) / KNOT_HOURS) + 2 }, (_, k) => {
    if (k > 0) z = KEPT * z + Math.sqrt(1 - KEPT * KEPT) * gaussian(random);
    return t5Quantile(normalDistribution(z)) / Math.sqrt(5 / 3);
  });
  return Array.from({ length: hours }, (_, h) => {
    const [k, u] = [Math.floor(h / KNOT_HOURS), (h % KNOT_HOURS) / KNOT_HOURS];
    const between = (1 - u) * knots[k]! + u * knots[k + 1]!;
    const deviation = Math.sqrt((1 - u) ** 2 + u ** 2 + 2 * u * (1 - u) * KEPT);
    return ((atStartK + (perDayK * h) / 24) * between) / deviation;
  });
}

export function gaussian(random: Random): number {
  const radius = Math.sqrt(-2 * Math.log(1 - random.next()));
  return radius * Math.cos(2 * Math.PI * random.next());
}
