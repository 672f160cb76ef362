/**
 * Tubes as sold.
 *
 * - PEX, ASTM F876, copper-tube size: contents 0.50/0.92/1.34/1.83 gal and weights 4.50/5.80/8.38/11.0 lb per 100 ft
 *   (found: a pipefitter's chart).
 * - Copper, ASTM B88 type L: contents .00753/.0121/.0251 gal/ft, weights .198/.285/.455 lb/ft (found: a
 *   piping data sheet).
 * - 5/8-in hose: 0.2 kg of water and 1.0 W/K a metre at h 20 (practice).
 */
import { describe, expect, it } from 'vitest';
import { MATERIALS } from '../../src/model/conduction.ts';
import { lineOf } from '../../src/model/tube.ts';
import { relativeError } from './relative.ts';

const GALLON_KG = 3.785412;
const FOOT_M = 0.3048;
const POUND_KG = 0.45359237;

describe('PEX', () => {
  const ROWS = [
    ['3/8', 0.5, 4.5],
    ['1/2', 0.92, 5.8],
    ['5/8', 1.34, 8.38],
    ['3/4', 1.83, 11],
  ] as const;

  it.each(ROWS)('of %s in holds %d gal per 100 ft', (size, gallons) => {
    // Two or three digits; 1 litre is taken as 1 kg.
    const { waterKg } = lineOf({ tube: `pex-${size}`, lengthM: 100 * FOOT_M });
    expect(relativeError(waterKg / GALLON_KG, gallons)).toBeLessThan(0.006);
  });

  it.each(ROWS)('of %s in, %d gal, has the heat of a wall of %d lb per 100 ft', (size, _gallons, pounds) => {
    const line = lineOf({ tube: `pex-${size}`, lengthM: 100 * FOOT_M });
    const kg = line.wallHeatCapacityJPerK / MATERIALS.pex.heatCapacityJPerKgK;
    // The chart calls its weights approximate; they are those of a wall a tenth thicker.
    expect(relativeError(kg / POUND_KG, pounds)).toBeLessThan(0.13);
  });
});

describe('copper, type L', () => {
  const ROWS = [
    ['3/8', 0.00753, 0.198],
    ['1/2', 0.0121, 0.285],
    ['3/4', 0.0251, 0.455],
  ] as const;

  it.each(ROWS)('of %s in holds %d gal/ft', (size, gallons) => {
    const { waterKg } = lineOf({ tube: `copper-${size}`, lengthM: FOOT_M });
    // The table gives three digits.
    expect(relativeError(waterKg / GALLON_KG, gallons)).toBeLessThan(0.004);
  });

  it.each(ROWS)('of %s in, %d gal/ft, weighs %d lb/ft', (size, _gallons, pounds) => {
    const line = lineOf({ tube: `copper-${size}`, lengthM: FOOT_M });
    const kg = line.wallHeatCapacityJPerK / MATERIALS.copper.heatCapacityJPerKgK;
    expect(relativeError(kg / POUND_KG, pounds)).toBeLessThan(0.005);
  });
});

describe('a 5/8-in hose', () => {
  const hose = lineOf({ tube: 'hose-5/8', lengthM: 1 });

  it('holds the trade’s 0.2 kg a metre', () => {
    expect(relativeError(hose.waterKg, 0.2)).toBeLessThan(0.02);
  });

  it('gives off the trade’s 1.0 W/K a metre at h 20', () => {
    const wall = hose.fixedShare / hose.conductanceWPerK;
    // One digit and a half: 1.0.
    expect(relativeError(1 / (wall + 1 / (20 * Math.PI * hose.diameterM)), 1)).toBeLessThan(0.05);
  });
});

it.each([
  ['pex-1/2', 0.05],
  ['hose-5/8', 0.17],
])('leaves %s a share of resistance that wind does not change near %d', (tube, share) => {
  // Worked out by hand for a calm film of 9 to 10 W/(m²·K) (derived).
  expect(Math.abs(lineOf({ tube, lengthM: 1 }).fixedShare - share)).toBeLessThan(0.02);
});
