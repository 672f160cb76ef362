/**
 * The water heater's outside fittings once gas or power stops: they live on their tank, which stays hot for hours. Held
 * to tank and fitting integrated together by odex: 22.7 kg at 45 °C losing 1.5 W/K, 10 cm of brass of 1.3 cm² and
 * 120 W/(m·K) to 0.04 kg losing 0.2 W/K.
 */
import { describe, expect, it } from 'vitest';
import type { HeatPlan, Switch } from '../../src/model/heat-plan.ts';
import { runPart } from '../../src/model/trace.ts';
import type { Part, UnitModel } from '../../src/model/unit.ts';
import { integrate } from '../support/ode.ts';
import { constant, solved, steadyUnit } from '../support/steady-unit.ts';

const HOUR = 3600;
const BRASS_W_PER_K = (120 * 1.3e-4) / 0.1;
const TANK_J_PER_K = 22.7 * 4200;
const FITTING_J_PER_K = 0.04 * 4200;
/** A fifth of its ice. */
const BLOCKED_J = 0.2 * 0.04 * 333_550;

/** Hours from the stop until the fittings are blocked, of tank and fitting together; ice held at 0 °C. */
function truly(bayC: number): number {
  const rates = (_: number, [tank = 0, fitting = 0]: readonly number[]): number[] => {
    const brass = BRASS_W_PER_K * (tank - Math.max(0, fitting));
    const gain = brass - 0.2 * (Math.max(0, fitting) - bayC);
    // Below zero the second is ice, by the heat it has given.
    return [(-1.5 * (tank - bayC) - brass) / TANK_J_PER_K, gain / FITTING_J_PER_K];
  };
  let state: readonly number[] = [45, (BRASS_W_PER_K * 45 + 0.2 * bayC) / (BRASS_W_PER_K + 0.2)];
  for (let t = 0; t < 100 * HOUR; t += 60) {
    state = integrate(rates, state, { from: t, to: t + 60, firstStep: 10 });
    if (-(state[1] ?? 0) * FITTING_J_PER_K >= BLOCKED_J) return t / HOUR;
  }
  return Infinity;
}

const UNIT = (waterHeater: 'gas' | 'shore'): UnitModel =>
  steadyUnit(null, { waterHeater, parts: { catalogue: true, add: [], without: [], own: [] } });

/** In the open, so that the test says how cold it is around it; no wind comes into its bay. */
function fittingsOf({ parts }: UnitModel): Part {
  const part = parts.find(({ id }) => id === 'heater-fittings');
  if (part === undefined) throw new Error('There are no fittings.');
  return { ...part, zone: 'outside' };
}

const ON = { at: -Infinity, heat: false, shore: true, gas: true };
const STOP_S = 5 * HOUR + 1234;

/** Hours from the stop until the model's fittings are blocked; infinite: they are not. */
function modelled(
  bayC: number,
  switches: readonly Partial<Switch>[],
  needs: 'gas' | 'shore' = 'gas',
): number {
  const unit = UNIT(needs);
  const plan: HeatPlan = { switches: switches.map((s) => ({ ...ON, ...s })), suppliedFrom: 0 };
  const { events } = runPart(solved(unit, constant(bayC, 60), plan), {
    part: fittingsOf(unit),
    wetSince: null,
  });
  const at = events.find(({ line }) => line === 'blocked')?.at ?? Infinity;
  return (at - STOP_S) / HOUR;
}

const STOP = [{}, { at: STOP_S, shore: false, gas: false }];

describe('the water heater’s outside fittings, once it stops', () => {
  it.each([-3, -6, -10, -14, -18, -22])(
    'at %d °C in the bay do not last longer than they truly would',
    (bayC) => {
      expect(modelled(bayC, STOP)).toBeLessThan(truly(bayC));
    },
  );

  it('last hours, as they truly do: half a day to −10 °C, six hours to −20 °C', () => {
    for (const bayC of [-6, -10]) {
      expect(truly(bayC)).toBeGreaterThan(14);
      expect(modelled(bayC, STOP)).toBeGreaterThan(12);
    }
    for (const bayC of [-14, -18, -20]) expect(modelled(bayC, STOP)).toBeGreaterThan(6);
    expect(modelled(-18, STOP)).toBeGreaterThan(0.6 * truly(-18));
  });

  it('last by what they need, however the other supply does', () => {
    for (const needs of ['gas', 'shore'] as const) {
      const other = needs === 'gas' ? 'shore' : 'gas';
      const whole = modelled(-10, STOP, needs);
      expect(modelled(-10, [{}, { at: STOP_S, [needs]: false }], needs)).toBe(whole);
      expect(modelled(-10, [{}, { at: STOP_S, [other]: false }], needs)).toBe(Infinity);
    }
  });

  it('have nothing from a tank that was never hot', () => {
    expect(modelled(-10, [{ gas: false }])).toBeLessThan(0);
  });

  it('have it all again once it has been back', () => {
    const back = STOP_S + 5 * HOUR;
    const again = back + 3 * HOUR + 7;
    const twice = modelled(-10, [...STOP, { at: back }, { at: again, gas: false, shore: false }]);
    expect(twice - (again - STOP_S) / HOUR).toBeCloseTo(modelled(-10, STOP), 6);
  });
});
