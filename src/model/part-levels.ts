import type { Levels } from './air-pieces.ts';
import { MOST_WIND_CLASSES, windFactor, windOfClass } from './film.ts';
import type { Part } from './unit.ts';

/** Conductance of a part at a class of wind [W/K]. */
export function conductanceAt(part: Part, windClass: number): number {
  return part.conductanceWPerK * windFactor(part.windShare * windOfClass(windClass), part.film);
}

/**
 * The levels of a part with a heater: freezing and its thermostat, and both less what the heater is worth, on its supply
 * and on what is stored.
 *
 * @param windClassOf - of a stretch
 */
export function heatedLevels(part: Part, windClassOf: (stretch: number) => number): Levels {
  const { onBelowC = 0 } = part.heat ?? {};
  const watts = wattsOf(part);
  const perWatt = new Float64Array(MOST_WIND_CLASSES).fill(Number.NaN);
  return (stretch, into) => {
    const wind = windClassOf(stretch);
    if (Number.isNaN(perWatt[wind])) perWatt[wind] = 1 / conductanceAt(part, wind);
    into[0] = 0;
    into[1] = onBelowC;
    let count = 2;
    for (const given of watts) {
      const heatK = given * perWatt[wind]!;
      into[count++] = -heatK;
      into[count++] = onBelowC - heatK;
    }
    return count;
  };
}

/** What its heater gives on its supply, then in the steps on what is stored [W]; empty: it has none. */
export function wattsOf({ heat }: Part): readonly number[] {
  return heat === undefined ? [] : [heat.watts, ...(heat.stored ?? [])];
}
