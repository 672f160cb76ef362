/** Gas and charge at their ends: nothing left, nothing drawn, and what does not hinder. */
import { describe, expect, it } from 'vitest';
import { GIVEN_J_PER_KG, Supply, boilOffW } from '../../src/model/supply.ts';
import type { Battery, Gas, Heat } from '../../src/model/unit.ts';

const GAS: Gas = { kg: 9.07, cylinderKg: 9.07, refilled: false };
const BATTERY: Battery = { usableAh: 42.5, shareAtMinus15: 0.6, blowerA: 7, standbyA: 0.7 };
const HEAT: Heat = { setC: 18, capacityW: 6000, ductedShare: 0, running: true, shore: true };

function supply(heat: Heat): Supply {
  const fresh = new Supply();
  fresh.start(heat);
  return fresh;
}

describe('what boils off', () => {
  it('is nothing of an empty cylinder, nor at −20 °F', () => {
    expect(boilOffW(GAS, 0, 20)).toBe(0);
    expect(boilOffW(GAS, -1, 20)).toBe(0);
    expect(boilOffW(GAS, 9, -28.89)).toBeCloseTo(0, 0);
    expect(boilOffW(GAS, 9, -40)).toBe(0);
  });

  it('is no more for gas that is more than full', () => {
    expect(boilOffW(GAS, 9.07 * 0.6, 0)).toBeCloseTo(boilOffW(GAS, 9.07, 0), 6);
    expect(boilOffW(GAS, 90.7, 0)).toBe(boilOffW(GAS, 9.07, 0));
  });
});

describe('a furnace', () => {
  it('that lives on gas stops when its heat is given, to the joule', () => {
    const of = supply({ ...HEAT, gas: { ...GAS, kg: 1 } });
    expect(of.gasJ).toBe(GIVEN_J_PER_KG);
    expect(of.lasts(GIVEN_J_PER_KG, 10)).toBe(true);
    expect(of.lasts(GIVEN_J_PER_KG + 1, 10)).toBe(false);
    of.use(GIVEN_J_PER_KG / 2, 100, 100);
    expect([of.gasOutS, of.out]).toEqual([Infinity, false]);
    of.use(GIVEN_J_PER_KG / 2, 100, 200);
    expect([of.gasOutS, of.out]).toEqual([200, true]);
    expect(of.limitW({ ...HEAT, gas: GAS }, 10)).toBe(0);
    // What is out, is out: there is nothing more to wait for, and its hour stays.
    expect(of.lasts(1e9, 1e9)).toBe(true);
    of.use(0, 100, 300);
    expect(of.gasOutS).toBe(200);
  });

  it('whose cylinders somebody changes never stops', () => {
    const of = supply({ ...HEAT, gas: { ...GAS, refilled: true } });
    of.use(1e12, 100, 100);
    expect([of.gasJ, of.out]).toEqual([Infinity, false]);
  });

  it('of which nothing is said gives what it can, and lasts', () => {
    const of = supply(HEAT);
    expect(of.limitW(HEAT, -40)).toBe(6000);
    of.drawFrom(HEAT, false, -15);
    of.use(1e9, 1e6, 1e6);
    expect([of.charge, of.out, of.lasts(1e12, 1e9)]).toEqual([1, false, true]);
  });
});

describe('a battery', () => {
  const ON = { ...HEAT, battery: BATTERY };
  // 42.5 Ah at 25 °C: 0.7 A all the time last 60.7 h, with the blower's 7 A full on 5.52 h.
  const STANDBY_S = (42.5 / 0.7) * 3600;
  const FULL_S = (42.5 / 7.7) * 3600;

  it('off shore power is drawn on by standby all the time, and by the blower as it runs', () => {
    const of = supply(ON);
    of.drawFrom(ON, false, 25);
    expect([of.lasts(0, STANDBY_S - 1), of.lasts(0, STANDBY_S + 1)]).toEqual([true, false]);
    expect([of.lasts(6000 * (FULL_S - 1), FULL_S - 1), of.lasts(6000 * (FULL_S + 1), FULL_S + 1)]).toEqual([
      true,
      false,
    ]);
    of.use(0, STANDBY_S / 2, 100);
    expect(of.charge).toBeCloseTo(0.5, 12);
  });

  it.each([
    [40, 1],
    [25, 1],
    [5, 0.8],
    [-15, 0.6],
    [-30, 0.6],
  ])('at %d °C lasts %d of what it lasts when warm', (outsideC, share) => {
    const of = supply(ON);
    of.drawFrom(ON, false, outsideC);
    const lasting = share * STANDBY_S;
    expect([of.lasts(0, lasting - 1), of.lasts(0, lasting + 1)]).toEqual([true, false]);
  });

  it('that went flat stops the furnace off shore power, and is no hindrance on it', () => {
    const of = supply(ON);
    of.drawFrom(ON, false, 25);
    of.use(0, STANDBY_S, 500);
    expect([of.batteryOutS, of.out, of.limitW(ON, 0)]).toEqual([500, true, 0]);
    of.drawFrom(ON, true, 25);
    expect([of.out, of.limitW(ON, 0), of.lasts(1e9, 1e9)]).toEqual([false, 6000, true]);
    const charge = of.charge;
    of.use(1e6, 1e6, 900);
    expect(of.charge).toBe(charge);
  });

  it('that was empty from the start gives nothing, at once', () => {
    const empty = { ...HEAT, battery: { ...BATTERY, usableAh: 0 } };
    const of = supply(empty);
    of.drawFrom(empty, false, 25);
    expect([of.charge, of.limitW(empty, 0)]).toEqual([0, 0]);
    of.use(0, 10, 10);
    expect(of.out).toBe(true);
  });

  it('of a unit without furnace feeds what never rests, and no blower', () => {
    const bare = { ...ON, capacityW: 0 };
    const of = supply(bare);
    of.drawFrom(bare, false, 25);
    of.use(1e6, STANDBY_S / 2, 100);
    expect(of.charge).toBeCloseTo(0.5, 12);
  });

  it('is full again, and on shore power, for the next member', () => {
    const of = supply(ON);
    of.drawFrom(ON, false, 25);
    of.use(0, STANDBY_S, 500);
    of.start(ON);
    expect([of.charge, of.batteryOutS, of.gasOutS, of.gasJ, of.out]).toEqual([
      1,
      Infinity,
      Infinity,
      Infinity,
      false,
    ]);
    of.charge = 0;
    expect(of.limitW(ON, 0)).toBe(6000);
    of.start(null);
    expect(of.gasJ).toBe(Infinity);
  });
});
