/** The measures of a unit, and which spaces under and around it have air of their own. */
import type { NodeId, StatedDefault, UnitKind, UnitSpec } from './unit.ts';

/** Usual length and width by kind [m]. Common practice. */
const SIZE: Readonly<Record<UnitKind, { readonly lengthM: number; readonly widthM: number }>> = {
  'travel-trailer': { lengthM: 7.3, widthM: 2.4 },
  'fifth-wheel': { lengthM: 9.8, widthM: 2.4 },
  motorhome: { lengthM: 9.1, widthM: 2.5 },
  'truck-camper': { lengthM: 3, widthM: 2.2 },
  van: { lengthM: 5.9, widthM: 1.9 },
  'pop-up': { lengthM: 3.7, widthM: 2.1 },
};

export interface Frame {
  readonly nodes: readonly NodeId[];
  readonly lengthM: number;
  readonly floorM2: number;
  /** What the unit stands in. */
  readonly outer: 'barn' | 'outside';
  /** What lies under the floor or the belly skin. */
  readonly below: 'underneath' | 'barn' | 'outside';
}

/** An open belly and an unskirted underside are the air around, not spaces of their own. */
export function frameOf({ kind, lengthM: given, belly, skirting, shelter, network: own }: UnitSpec): Frame {
  const { lengthM: usual, widthM } = SIZE[kind];
  const lengthM = given ?? usual;
  const outer = shelter === 'barn' ? 'barn' : 'outside';
  const nodes: NodeId[] = ['inside'];
  if (belly !== 'open' || (own?.underbellyCapacity ?? null) !== null) nodes.push('underbelly');
  if (skirting !== 'none' || (own?.underneathCapacity ?? null) !== null) nodes.push('underneath');
  if (outer === 'barn') nodes.push('barn');
  const below = nodes.includes('underneath') ? 'underneath' : outer;
  return { nodes, lengthM, floorM2: lengthM * widthM, outer, below };
}

export function statedLength({ kind, lengthM: given }: UnitSpec, { lengthM }: Frame): StatedDefault[] {
  if (given !== null) return [];
  const note = `usual for a ${kind}, give or take a third`;
  return [{ path: 'length', value: `${lengthM} m`, provenance: 'practice', note }];
}
