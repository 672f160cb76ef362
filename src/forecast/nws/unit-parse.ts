/**
 * The service names its units as `wmoUnit:degC`, in older bodies `unit:degC`, and announces plain ones of UCUM, such
 * as `Cel` (specs/nws.openapi.json, UnitOfMeasure).
 */
type Scale = (value: number) => number;

const same: Scale = (value) => value;

const SCALES = {
  temperature: {
    degC: same,
    Cel: same,
    degF: fahrenheitToCelsius,
    '[degF]': fahrenheitToCelsius,
    K: (kelvin: number) => kelvin - 273.15,
  },
  speed: {
    'km_h-1': (kmh: number) => kmh / 3.6,
    'km/h': (kmh: number) => kmh / 3.6,
    'm_s-1': same,
    'm/s': same,
  },
  share: { percent: same, '%': same },
  length: { m: same },
} as const satisfies Readonly<Record<string, Readonly<Record<string, Scale>>>>;

export type Quantity = keyof typeof SCALES;

/** What brings a value in that unit to °C, m/s, % or m; null for a unit that is not one of this quantity. */
export function scaleOf(quantity: Quantity, unit: string | undefined): Scale | null {
  const name = (unit ?? '').replace(/^(?:wmoUnit|wmo|unit|uc|nwsUnit):/, '');
  const scales: Readonly<Record<string, Scale>> = SCALES[quantity];
  return Object.hasOwn(scales, name) ? (scales[name] ?? null) : null;
}

/** 32 °F is 0 °C to the bit. */
function fahrenheitToCelsius(fahrenheit: number): number {
  return ((fahrenheit - 32) * 5) / 9;
}

/** Outside these the number is a fault, not weather: the coldest and warmest on record, with margin. */
const RANGES: Readonly<Record<Quantity, readonly [least: number, most: number]>> = {
  temperature: [-90, 60],
  speed: [0, 120],
  share: [0, 100],
  /** Between the Dead Sea and Mount Everest. */
  length: [-430, 8849],
};

/** The value, or NaN for one that is missing or impossible: never 0, which would read as "just not freezing". */
export function plausible(quantity: Quantity, value: number | null): number {
  const [least, most] = RANGES[quantity];
  return value !== null && value >= least && value <= most ? value : Number.NaN;
}
