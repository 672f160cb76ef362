/**
 * What can be done to keep a unit warm for a night, one by one, in the order in which it is done. The ids are read by
 * other programs and never change.
 */
import type { UnitSpec } from './unit.ts';

export const MEASURES = [
  'run-from-tank',
  'hose-off',
  'hydrant-free',
  'supply-off',
  'run-from-heated-hose',
  'inlet-open',
  'flush-open',
  'shower-open',
  'dump-valves-shut',
  'furnace-on',
  'electric-heat-on',
  'heaters-down',
  'heat-pump-off',
  'cupboards-open',
  'water-heater-on',
  'water-heater-on-gas',
  'element-off',
  'tank-pads-on',
  'pads-off',
  'heat-tape-on',
  'taps-known',
] as const;
export type Measure = (typeof MEASURES)[number];

/** Circuits that a measure empties at dusk, or, with water from a heated hose, no longer needs. */
const EMPTIES: ReadonlyMap<Measure, string> = new Map([
  ['hose-off', 'post'],
  ['inlet-open', 'inlet'],
  ['flush-open', 'flush'],
  ['shower-open', 'outside-shower'],
  ['run-from-heated-hose', 'tank-fresh'],
]);

export function emptiedBy(measures: readonly Measure[]): readonly string[] {
  return measures.flatMap((measure) => EMPTIES.get(measure) ?? []);
}

/** Those that make no sense without another one: the hydrant drains only with nothing on it. */
const HANGS_ON: Readonly<Partial<Record<Measure, readonly Measure[]>>> = {
  'hose-off': ['hydrant-free', 'supply-off', 'run-from-tank', 'inlet-open'],
};

export function without(measures: readonly Measure[], measure: Measure): readonly Measure[] {
  const gone: readonly Measure[] = [measure, ...(HANGS_ON[measure] ?? [])];
  return measures.filter((m) => !gone.includes(m));
}

/** In the order of `MEASURES`, each once. */
export function inOrder(measures: readonly Measure[]): readonly Measure[] {
  return MEASURES.filter((m) => measures.includes(m));
}

/** What one takes back of what was asked before. */
const TAKES_BACK: Readonly<Partial<Record<Measure, Measure>>> = {
  'water-heater-on': 'element-off',
  'element-off': 'water-heater-on',
  'tank-pads-on': 'pads-off',
  'pads-off': 'tank-pads-on',
};

/** Those asked before and those asked now; of two ways of having water, and of on and off, the newer. */
export function joined(before: readonly Measure[], now: readonly Measure[]): readonly Measure[] {
  const water = now.includes('run-from-heated-hose') ? 'hose-off' : 'run-from-heated-hose';
  const back = [water, ...now.flatMap((measure) => TAKES_BACK[measure] ?? [])] as const;
  return inOrder([...back.reduce(without, before), ...now]);
}

/** Ducts in the belly live off the furnace, and electric heaters inside keep it from running. */
export function hasDucts({ belly, heat }: UnitSpec): boolean {
  return heat !== null && heat.furnaceW > 0 && (belly === 'heated' || (heat.ductedShare ?? 0) > 0);
}
