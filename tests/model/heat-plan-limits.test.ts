/** Whether a unit is warm now, and what holds before anything is planned. */
import { describe, expect, it } from 'vitest';
import { isWarmedBy, switchAt } from '../../src/model/heat-plan.ts';
import type { UnitModel } from '../../src/model/unit.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import { steadyUnit } from '../support/steady-unit.ts';

const WET: UnitWater = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} };

function unit(running: boolean | null): UnitModel {
  return steadyUnit(running === null ? null : { setC: 18, furnaceW: 6000, ductedShare: 0, running });
}

describe('a unit is warmed', () => {
  it('where its heat runs, or somebody has switched it on', () => {
    expect(isWarmedBy(unit(true), WET)).toBe(true);
    expect(isWarmedBy(unit(false), { ...WET, keptWarm: true })).toBe(true);
    expect(isWarmedBy(unit(true), { ...WET, keptWarm: false })).toBe(true);
  });

  it('neither where nobody has, nor where there is no heat to switch on', () => {
    expect(isWarmedBy(unit(false), WET)).toBe(false);
    expect(isWarmedBy(unit(false), { ...WET, keptWarm: false })).toBe(false);
    expect(isWarmedBy(unit(null), { ...WET, keptWarm: true })).toBe(false);
  });
});

it('before anything is planned heat is off, while shore power and gas are there', () => {
  const plan = { switches: [{ at: 100, heat: true, shore: false, gas: false }], suppliedFrom: 0 };
  expect(switchAt(plan, 99)).toMatchObject({ heat: false, shore: true, gas: true });
  expect(switchAt(plan, 100)).toMatchObject({ heat: true, shore: false, gas: false });
});
