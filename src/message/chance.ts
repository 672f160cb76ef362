/** Above this the members are a single forecast, which brings damage or does not: a per cent would pretend. */
const SINGLE = 0.5;

/** Sums of weights are not exact. */
const EPSILON = 1e-9;

/** `62 %`; below what the members can resolve `under 2 %`, and likewise `over 98 %`. Never 0 % or 100 %. */
export function chanceText(chance: number, resolution: number): string {
  if (isSingle(resolution)) return chance >= 0.5 ? 'damage in this forecast' : 'none in this forecast';
  const least = Math.max(1, Math.ceil(resolution * 100 - EPSILON));
  const percent = Math.round(chance * 100);
  if (chance < resolution - EPSILON || percent < 1) return `under ${least} %`;
  if (chance > 1 - resolution + EPSILON || percent > 99) return `over ${100 - least} %`;
  return `${percent} %`;
}

export function isSingle(resolution: number): boolean {
  return resolution > SINGLE;
}
