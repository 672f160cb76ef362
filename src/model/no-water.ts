/** "No water" apart from damage: when ice closes the way of the water, whether or not it breaks anything. */
import { STOWED_CIRCUIT, holdsWater } from './damage.ts';
import type { Part, UnitModel } from './unit.ts';
import { circuitState, type UnitWater } from './water-state.ts';

/** Circuits through which water comes to the taps: from the post, and from the fresh tank where the hose is off. */
const FROM_POST: readonly string[] = [STOWED_CIRCUIT, 'inlet', 'cold', 'hot', 'heater'];
const FROM_TANK: readonly string[] = ['tank-fresh', 'cold', 'hot', 'heater'];

/** Stubs that hang on the way and close nothing, and the tank itself, in which water stays under the ice. */
const ASIDE: readonly string[] = ['low-points', 'petcock', 'fresh-tank'];

/**
 * Ice fraction at which a bore is closed: late freezing is sudden, as dendrites across it, whether its wall gives
 * or not. Engineering estimate, as for rigid bodies that break.
 */
const CLOSED = 0.2;

/**
 * The unit as its taps see it: the same parts in the same order, of which those on the way of the water count from
 * when they are closed, and no others. Null: no water is on its way to any tap.
 */
export function asTapsSee(unit: UnitModel, water: UnitWater): UnitModel | null {
  const isHeld = (part: Part): boolean => holdsWater(part, circuitState(water, part.circuit).state);
  const isIn = (circuit: string): boolean => unit.parts.some((p) => p.circuit === circuit && isHeld(p));
  const supply = !isIn(STOWED_CIRCUIT) && isIn('tank-fresh') ? FROM_TANK : FROM_POST;
  const onTheWay = (part: Part): boolean =>
    supply.includes(part.circuit) && !ASIDE.includes(part.id) && isHeld(part);
  if (!unit.parts.some(onTheWay)) return null;
  const parts = unit.parts.map((part) => {
    if (onTheWay(part) && part.headroom === undefined && part.blocked <= CLOSED) return part;
    const { headroom: _room, ...rest } = part;
    // Stowed and with room nothing can happen to a part, whatever is in it.
    return onTheWay(part)
      ? { ...rest, blocked: Math.min(CLOSED, part.blocked) }
      : { ...rest, headroom: true as const, circuit: STOWED_CIRCUIT };
  });
  return { ...unit, parts };
}
