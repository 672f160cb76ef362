/**
 * Quantities as people write them ("24 ft", "−4 °C", "2 h") to base units and back.
 *
 * Base units: °C, K, m, L, kg, W, J, J/K, W/K, W/m, s, years, m/s, A, Ah, V. Foot, inch,
 * pound and ounce are the international ones of 1959 (0.3048 m and 0.45359237 kg, exact); gal is the US gallon of 231 cubic inches; BTU is the
 * International Table one (1055.05585262 J, ISO 80000-5).
 */

/** `base = (written − zero) · factor`. */
interface Unit {
  readonly factor: number;
  readonly zero?: number;
}

interface DimensionEntry {
  /** With its article, for messages. */
  readonly noun: string;
  readonly examples: readonly [string, string];
  readonly units: Readonly<Record<string, Unit>>;
}

const FOOT_M = 0.3048;
const POUND_KG = 0.45359237;
const BTU_J = 1055.05585262;
const FAHRENHEIT = { factor: 5 / 9, zero: 32 };

const DIMENSIONS = {
  temperature: {
    noun: 'a temperature',
    examples: ['-4 °C', '64 °F'],
    units: { '°C': { factor: 1 }, C: { factor: 1 }, '°F': FAHRENHEIT, F: FAHRENHEIT },
  },
  temperatureDifference: {
    noun: 'a temperature difference',
    examples: ['3 K', '5 F-degrees'],
    units: { K: { factor: 1 }, 'F-degrees': { factor: 5 / 9 } },
  },
  length: {
    noun: 'a length',
    examples: ['24 ft', '7.3 m'],
    units: {
      m: { factor: 1 },
      cm: { factor: 0.01 },
      mm: { factor: 0.001 },
      ft: { factor: FOOT_M },
      in: { factor: FOOT_M / 12 },
    },
  },
  volume: {
    noun: 'a volume',
    examples: ['40 gal', '150 L'],
    units: { L: { factor: 1 }, gal: { factor: 3.785411784 } },
  },
  mass: {
    noun: 'a mass',
    examples: ['20 lb', '9 kg'],
    units: {
      kg: { factor: 1 },
      g: { factor: 0.001 },
      lb: { factor: POUND_KG },
      oz: { factor: POUND_KG / 16 },
    },
  },
  power: {
    noun: 'a power',
    examples: ['6 kW', '20000 BTU/h'],
    units: { W: { factor: 1 }, kW: { factor: 1000 }, 'BTU/h': { factor: BTU_J / 3600 } },
  },
  energy: {
    noun: 'an energy',
    examples: ['500 kJ', '1.2 kWh'],
    units: { J: { factor: 1 }, kJ: { factor: 1e3 }, MJ: { factor: 1e6 }, kWh: { factor: 3.6e6 } },
  },
  heatCapacity: {
    noun: 'a heat capacity',
    examples: ['2.0 MJ/K', '320 kJ/K'],
    units: { 'J/K': { factor: 1 }, 'kJ/K': { factor: 1e3 }, 'MJ/K': { factor: 1e6 } },
  },
  conductance: {
    noun: 'a conductance',
    examples: ['0.5 W/K', '175 W/K'],
    units: { 'W/K': { factor: 1 } },
  },
  powerPerLength: {
    noun: 'a power per length',
    examples: ['15 W/m', '5 W/ft'],
    units: { 'W/m': { factor: 1 }, 'W/ft': { factor: 1 / FOOT_M } },
  },
  current: { noun: 'a current', examples: ['30 A', '50 A'], units: { A: { factor: 1 } } },
  charge: { noun: 'a charge', examples: ['85 Ah', '200 Ah'], units: { Ah: { factor: 1 } } },
  voltage: { noun: 'a voltage', examples: ['120 V', '230 V'], units: { V: { factor: 1 } } },
  age: {
    noun: 'an age',
    examples: ['4 y', '18 months'],
    units: { y: { factor: 1 }, months: { factor: 1 / 12 } },
  },
  duration: {
    noun: 'a duration',
    examples: ['90 min', '72 h'],
    units: { s: { factor: 1 }, min: { factor: 60 }, h: { factor: 3600 }, d: { factor: 86_400 } },
  },
  speed: {
    noun: 'a speed',
    examples: ['5 m/s', '12 mph'],
    units: {
      'm/s': { factor: 1 },
      'km/h': { factor: 1 / 3.6 },
      mph: { factor: (FOOT_M * 5280) / 3600 },
      kn: { factor: 1852 / 3600 },
    },
  },
} as const satisfies Readonly<Record<string, DimensionEntry>>;

export type Dimension = keyof typeof DIMENSIONS;

export type QuantityResult =
  { readonly ok: true; readonly value: number } | { readonly ok: false; readonly problem: string };

const NUMBER_AND_REST = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*(.*)$/u;
const LOWEST_TEMPERATURE_C = -273.15;

function entryOf(dimension: Dimension): DimensionEntry {
  return DIMENSIONS[dimension];
}

function unitOf(dimension: Dimension, symbol: string): Unit | null {
  const { units } = entryOf(dimension);
  return Object.hasOwn(units, symbol) ? (units[symbol] ?? null) : null;
}

/** Two examples of how the dimension is written. */
export function quantityExamples(dimension: Dimension): readonly [string, string] {
  return entryOf(dimension).examples;
}

/** `a length such as "24 ft" or "7.3 m"`. */
export function quantityRule(dimension: Dimension): string {
  const { noun, examples } = entryOf(dimension);
  return `${noun} such as "${examples[0]}" or "${examples[1]}"`;
}

/** Why `symbol` is not a unit of this dimension, where the usual mix-up is known. */
function mixUp(dimension: Dimension, symbol: string): string | null {
  if (dimension === 'temperatureDifference' && unitOf('temperature', symbol) !== null) {
    return 'a temperature difference is written in K or F-degrees, such as "3 K" or "5 F-degrees"';
  }
  if (dimension === 'temperature' && unitOf('temperatureDifference', symbol) !== null) {
    return 'a temperature is written in °C or °F, such as "-4 °C" or "64 °F"; K and F-degrees are for differences';
  }
  return null;
}

function refusal(dimension: Dimension, text: string, symbol: string | null): QuantityResult {
  const rule = symbol === null ? null : mixUp(dimension, symbol);
  const known = Object.keys(entryOf(dimension).units).join(', ');
  const units = symbol ? ` (units: ${known})` : '';
  return {
    ok: false,
    problem: `${rule ?? `expected ${quantityRule(dimension)}${units}`}, found ${JSON.stringify(text)}`,
  };
}

/**
 * Reads a number with its unit, in base units. A true minus sign is taken as a minus; thousands separators,
 * exponents and decimal commas are not. Never NaN or infinite.
 */
export function parseQuantity(dimension: Dimension, text: string): QuantityResult {
  const match = NUMBER_AND_REST.exec(text.trim().replace(/^−/u, '-'));
  if (match === null) return refusal(dimension, text, null);
  const [, digits = '', symbol = ''] = match;
  const unit = unitOf(dimension, symbol);
  if (unit === null) return refusal(dimension, text, symbol);
  const value = (Number(digits) - (unit.zero ?? 0)) * unit.factor;
  if (!Number.isFinite(value)) return refusal(dimension, text, null);
  if (dimension === 'temperature' && value < LOWEST_TEMPERATURE_C) {
    return { ok: false, problem: `no temperature is below −273.15 °C, found ${JSON.stringify(text)}` };
  }
  // `0 * -1` would be minus zero, which prints oddly.
  return { ok: true, value: value === 0 ? 0 : value };
}

/** The value, given in base units, in `symbol`; throws a RangeError for a unit of another dimension. */
export function inUnit(dimension: Dimension, value: number, symbol: string): number {
  const unit = unitOf(dimension, symbol);
  if (unit === null) throw new RangeError(`${symbol} is not a unit of ${entryOf(dimension).noun}.`);
  return value / unit.factor + (unit.zero ?? 0);
}

/** `7.315 m`: four significant digits, a true minus sign. The value is given in base units. */
export function formatQuantity(dimension: Dimension, value: number, symbol: string): string {
  return `${formatNumber(inUnit(dimension, value, symbol))} ${symbol}`;
}

/** At most four significant digits (whole numbers in full), a true minus sign, no exponent. */
export function formatNumber(value: number): string {
  const shown = Math.abs(value) >= 1000 ? Math.round(value) : Number(value.toPrecision(4));
  return `${shown < 0 ? '−' : ''}${Math.abs(shown).toLocaleString('en-US', { useGrouping: false, maximumFractionDigits: 12 })}`;
}

/** `16 d`, `90 min`: the largest unit in which the duration is a whole number. Seconds in. */
export function formatDuration(seconds: number): string {
  for (const symbol of ['d', 'h', 'min']) {
    const shown = inUnit('duration', seconds, symbol);
    if (shown !== 0 && Number.isInteger(shown)) return formatQuantity('duration', seconds, symbol);
  }
  return formatQuantity('duration', seconds, seconds === 0 ? 'min' : 's');
}
