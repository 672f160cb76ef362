import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Dimension } from '../../src/quantity/quantity.ts';
import {
  formatDuration,
  formatNumber,
  formatQuantity,
  inUnit,
  parseQuantity,
} from '../../src/quantity/quantity.ts';

function valueOf(dimension: Dimension, text: string): number {
  const result = parseQuantity(dimension, text);
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

function problemOf(dimension: Dimension, text: string): string {
  const result = parseQuantity(dimension, text);
  return result.ok ? `took it as ${result.value}` : result.problem;
}

/**
 * Conversion factors from NIST Special Publication 811 (2008), appendix B.8: international foot, inch, mile,
 * knot, avoirdupois pound and ounce, US gallon (as printed there, 3.785 412 L), Btu_IT per hour
 * (2.930 711 E−01 W), kilowatt hour, degree Fahrenheit (B.8: t/°C = (t/°F − 32)/1.8).
 */
const NIST: readonly (readonly [Dimension, string, number])[] = [
  ['length', '1 ft', 0.3048],
  ['length', '1 in', 0.0254],
  ['length', '9055 ft', 2759.964],
  ['length', '24 ft', 7.3152],
  ['length', '73 cm', 0.73],
  ['length', '12.7 mm', 0.0127],
  ['mass', '1 lb', 0.453_592_37],
  ['mass', '20 lb', 9.071_847_4],
  ['mass', '1 oz', 0.028_349_523_125],
  ['mass', '114.3 g', 0.1143],
  ['volume', '1 gal', 3.785_412],
  ['power', '1 BTU/h', 0.293_071_1],
  ['power', '6 kW', 6000],
  ['energy', '1 kWh', 3.6e6],
  ['energy', '2 MJ', 2e6],
  ['heatCapacity', '2.0 MJ/K', 2e6],
  ['heatCapacity', '320 kJ/K', 3.2e5],
  ['conductance', '0.5 W/K', 0.5],
  ['powerPerLength', '1 W/ft', 3.280_839_9],
  ['powerPerLength', '15 W/m', 15],
  ['current', '30 A', 30],
  ['charge', '85 Ah', 85],
  ['voltage', '120 V', 120],
  ['age', '18 months', 1.5],
  ['temperature', '32 °F', 0],
  ['temperature', '212 °F', 100],
  ['temperature', '64 °F', 160 / 9],
  ['temperature', '-40 F', -40],
  ['temperature', '-4 °C', -4],
  ['temperatureDifference', '9 F-degrees', 5],
  ['temperatureDifference', '1.5 K', 1.5],
  ['duration', '90 min', 5400],
  ['duration', '16 d', 1_382_400],
  ['duration', '12 h', 43_200],
  ['speed', '1 mph', 0.447_04],
  ['speed', '1 kn', 0.514_444_4],
  ['speed', '36 km/h', 10],
];

describe('a quantity', () => {
  it.each(NIST)('of %s, %s, is read in base units', (dimension, text, expected) => {
    expect(Math.abs(valueOf(dimension, text) - expected)).toBeLessThanOrEqual(1.2e-7 * Math.abs(expected));
  });

  it('may have no blank, several blanks or a true minus sign', () => {
    expect(valueOf('length', '24ft')).toBeCloseTo(7.3152, 12);
    expect(valueOf('length', ' 24 \u00a0ft ')).toBeCloseTo(7.3152, 12);
    expect(valueOf('temperature', '−4 °C')).toBe(-4);
    expect(valueOf('temperature', '+4 °C')).toBe(4);
  });

  it('says the rule and what was found', () => {
    expect(problemOf('length', '24')).toBe('expected a length such as "24 ft" or "7.3 m", found "24"');
    expect(problemOf('length', '24 yd')).toBe(
      'expected a length such as "24 ft" or "7.3 m" (units: m, cm, mm, ft, in), found "24 yd"',
    );
  });

  it('tells temperatures from temperature differences', () => {
    expect(problemOf('temperatureDifference', '3 °C')).toBe(
      'a temperature difference is written in K or F-degrees, such as "3 K" or "5 F-degrees", found "3 °C"',
    );
    expect(problemOf('temperatureDifference', '3 F')).toContain('written in K or F-degrees');
    expect(problemOf('temperature', '270 K')).toBe(
      'a temperature is written in °C or °F, such as "-4 °C" or "64 °F"; K and F-degrees are for differences, found "270 K"',
    );
    expect(problemOf('temperature', '5 F-degrees')).toContain('are for differences');
  });

  it.each([
    '1,000 ft',
    '7,3 m',
    '1e3 m',
    'NaN m',
    'Infinity m',
    '-- 3 m',
    '3 m m',
    'm',
    '',
    '0x10 m',
    `${'9'.repeat(400)} m`,
    '5 constructor',
    '5 __proto__',
  ])('is not read from %j', (text) => {
    expect(problemOf('length', text)).toMatch(/^expected a length/);
  });

  it('is never a temperature below absolute zero', () => {
    expect(problemOf('temperature', '-274 °C')).toContain('no temperature is below');
    expect(valueOf('temperature', '-273.15 °C')).toBe(-273.15);
  });

  it('is never anything but a finite number, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.constantFrom(' m', ' ft', ''), (text, unit) => {
        const result = parseQuantity('length', text + unit);
        expect(result.ok ? Number.isFinite(result.value) : result.problem.length > 0).toBe(true);
      }),
    );
  });

  it('comes back as it was written', () => {
    expect(formatQuantity('length', 2759.964, 'ft')).toBe('9055 ft');
    expect(formatQuantity('mass', 9.071_847_4, 'lb')).toBe('20 lb');
    expect(formatQuantity('temperature', -10, '°F')).toBe('14 °F');
    expect(formatQuantity('temperature', -4, '°C')).toBe('−4 °C');
    fc.assert(
      fc.property(
        fc.integer({ min: -9999, max: 9999 }),
        fc.constantFrom('ft', 'in', 'cm', 'm'),
        (n, unit) => {
          const text = formatQuantity('length', valueOf('length', `${n} ${unit}`), unit);
          expect(text).toBe(`${n < 0 ? '−' : ''}${Math.abs(n)} ${unit}`);
        },
      ),
    );
  });

  it('is not turned into a unit of another dimension', () => {
    expect(() => inUnit('length', 1, 'kg')).toThrow(RangeError);
  });
});

describe('a number for people', () => {
  it('has four digits at most, unless it is whole, and no exponent', () => {
    expect([0.123_456, 123_456.7, -2.5, 0, 0.000_05].map(formatNumber)).toEqual([
      '0.1235',
      '123457',
      '−2.5',
      '0',
      '0.00005',
    ]);
  });

  it('shows a duration in the largest unit that is whole', () => {
    expect([1_382_400, 5400, 43_200, 45, 0].map(formatDuration)).toEqual([
      '16 d',
      '90 min',
      '12 h',
      '45 s',
      '0 min',
    ]);
  });
});
