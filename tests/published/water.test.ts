/**
 * Constants of water: latent heat of fusion 333.55 kJ/kg and ice 2.11 J/(g·K) at 0 °C, CRC Handbook of Chemistry
 * and Physics (found); liquid at 1 atm by IAPWS-IF97: 4.2194, 4.1954 and 4.1848 kJ/(kg·K) at 0, 10 and 20 °C
 * (found); 4,200 J/(kg·K) as ASHRAE Handbook, Fundamentals (2021 SI), chapter 23 takes it (found).
 */
import { expect, it } from 'vitest';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../../src/model/water.ts';

it('latent heat and the heat capacity of ice are the handbook’s', () => {
  expect(LATENT_HEAT_J_PER_KG).toBe(333_550);
  expect(ICE_HEAT_CAPACITY_J_PER_KG_K).toBe(2110);
});

it('the round heat capacity of water is within half a per cent from 0 to 20 °C', () => {
  for (const reference of [4219.4, 4195.4, 4184.8]) {
    expect(Math.abs(WATER_HEAT_CAPACITY_J_PER_KG_K / reference - 1)).toBeLessThan(0.005);
  }
});
