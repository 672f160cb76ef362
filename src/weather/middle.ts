/** Which member stands for all when people are shown one course of the weather. */
export interface Weighted {
  readonly weight: number;
  readonly temperatureC: Float64Array;
}

/**
 * The weighted lower median by degree-hours below 0 °C outside from `fromHour` on, then by mean air falling,
 * then by index.
 */
export function middleIndex(members: readonly Weighted[], fromHour: number): number {
  const first = Math.max(0, Math.ceil(fromHour));
  const ranked = members
    .map((member, index) => ({
      index,
      weight: member.weight,
      ...coldness(member.temperatureC.subarray(first)),
    }))
    .toSorted((x, y) => x.degreeHours - y.degreeHours || y.mean - x.mean || x.index - y.index);
  const half = members.reduce((sum, m) => sum + m.weight, 0) / 2;
  let sum = 0;
  for (const { index, weight } of ranked) {
    sum += weight;
    if (sum >= half - 1e-12) return index;
  }
  return 0;
}

function coldness(temperatureC: Float64Array): { degreeHours: number; mean: number } {
  let degreeHours = 0;
  let sum = 0;
  for (const t of temperatureC) {
    degreeHours += Math.max(0, -t);
    sum += t;
  }
  return { degreeHours, mean: sum / Math.max(1, temperatureC.length) };
}
