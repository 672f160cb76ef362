/** Which thermostat gives what at a temperature inside: where each piece of the law begins and which comes next. */
import { describe, expect, it } from 'vitest';
import {
  PIECES,
  bandOutput,
  colder,
  lowerEnd,
  pieceAt,
  warmer,
  type HeatGiven,
} from '../../src/model/heat-law.ts';

/** Furnace of 6 kW set to 18 °C, which is its band's middle, and heaters of 3 kW that come on above it. */
const BOTH: HeatGiven = { setC: 18, capacityW: 6000, limitW: 6000, electricW: 3000 };
const FURNACE = { ...BOTH, electricW: 0 };
const HEATERS = { ...BOTH, limitW: 0 };
const NEITHER = { ...HEATERS, electricW: 0 };
/** A cold cylinder: half of what the furnace could give. */
const STARVED = { ...BOTH, limitW: 3000 };

describe('the lower end of each piece', () => {
  it('is half a kelvin to both sides of the set temperature for the furnace, a kelvin above for the heaters', () => {
    expect(PIECES.map((piece) => lowerEnd(piece, BOTH))).toEqual([19.5, 18.5, 17.5, -Infinity]);
    expect(lowerEnd('off', FURNACE)).toBe(18.5);
  });

  it('of the band rises as the furnace can give less', () => {
    expect(lowerEnd('band', STARVED)).toBe(18);
    expect(lowerEnd('band', { ...BOTH, limitW: 0 })).toBe(18.5);
    expect(lowerEnd('band', { ...HEATERS, capacityW: 0 })).toBe(18.5);
  });
});

describe('the next piece', () => {
  it('when it grows colder is the next one that has heat to give', () => {
    expect(PIECES.map((piece) => colder(piece, BOTH))).toEqual(['electric', 'band', 'full', 'full']);
    expect(colder('off', FURNACE)).toBe('band');
    expect(colder('electric', HEATERS)).toBe('full');
    expect(colder('off', HEATERS)).toBe('electric');
    expect(PIECES.map((piece) => colder(piece, NEITHER))).toEqual(['off', 'off', 'off', 'off']);
  });

  it('when it grows warmer is the next one that has heat to give', () => {
    expect(PIECES.map((piece) => warmer(piece, BOTH))).toEqual(['off', 'off', 'electric', 'band']);
    expect(warmer('full', HEATERS)).toBe('electric');
    expect(warmer('full', FURNACE)).toBe('band');
    expect(warmer('band', FURNACE)).toBe('off');
    expect(PIECES.map((piece) => warmer(piece, NEITHER))).toEqual(['off', 'off', 'off', 'off']);
  });
});

describe('the piece at a temperature inside', () => {
  const at = (given: HeatGiven, ...insideC: number[]): string[] => insideC.map((t) => pieceAt(t, given));

  it('is the colder one at the very end of each', () => {
    expect(at(BOTH, 25, 19.6, 19.5, 18.6, 18.5, 17.6, 17.5, -20)).toEqual([
      'off',
      'off',
      'electric',
      'electric',
      'band',
      'band',
      'full',
      'full',
    ]);
  });

  it('knows only what there is', () => {
    expect(at(FURNACE, 19, 18.5, 18, 17)).toEqual(['off', 'band', 'band', 'full']);
    expect(at(HEATERS, 20, 19, 18.5, 0)).toEqual(['off', 'electric', 'full', 'full']);
    expect(at(NEITHER, 20, 0, -30)).toEqual(['off', 'off', 'off']);
    expect(at(STARVED, 18.1, 18)).toEqual(['band', 'full']);
  });
});

it('a furnace gives half of its power at the set temperature, all half a kelvin below, none half a kelvin above', () => {
  expect([0, 0.5, -0.5, 0.25].map((below) => bandOutput(BOTH, below))).toEqual([3000, 6000, 0, 4500]);
});
