import type { Levels } from './air-track.ts';
import { MOST_WIND_CLASSES, windFactor, windOfClass } from './film.ts';
import type { Part } from './unit.ts';

/** Conductance of a part at a class of wind [W/K]. */
export function conductanceAt(part: Part, windClass: number): number {
  return part.conductanceWPerK * windFactor(part.windShare * windOfClass(windClass), part.film);
}

/**
 * The levels of a part with a heater: freezing and its thermostat, and both less what the heater is worth.
 *
 * @param windClassOf - of a stretch
 */
export function heatedLevels(part: Part, windClassOf: (stretch: number) => number): Levels {
  const { watts = 0, onBelowC = 0 } = part.heat ?? {};
  const worthK = new Float64Array(MOST_WIND_CLASSES).fill(Number.NaN);
  return (stretch, into) => {
    const wind = windClassOf(stretch);
    if (Number.isNaN(worthK[wind])) worthK[wind] = watts / conductanceAt(part, wind);
    const heatK = worthK[wind]!;
    into[0] = 0;
    into[1] = -heatK;
    into[2] = onBelowC;
    into[3] = onBelowC - heatK;
    return 4;
  };
}
