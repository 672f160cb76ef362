import { array, constant, constantFrom, nat, oneof, record, type Arbitrary } from 'fast-check';

/** Any JSON value. A container is changed in place. */
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** Keys and indexes from the root. */
export type Path = readonly (string | number)[];

/** One change: where (a child for each level, modulo their number), what, and which of several ways. */
export interface Change {
  readonly kind: keyof typeof KINDS | keyof typeof TEXT_KINDS | 'spoil';
  readonly route: readonly number[];
  readonly pick: number;
}

/** What a number, a text or a container is replaced with. Absurd numbers stand for what services send for "unknown". */
const STRANGE: readonly Json[] = [
  null,
  0,
  '',
  'NaN',
  'null',
  '-5',
  true,
  [],
  {},
  1e308,
  -1e308,
  1e9,
  -9999,
  9999,
  -999,
  4000,
  -273.15,
  99.9,
  -0,
  5e-324,
  0.1,
  -40,
  '\u0000\u001b[31m',
  '1970-01-01T00:00:00Z',
];

/** What a number may be replaced with and still be one, or not known. */
const NUMBERS: readonly Json[] = STRANGE.filter((value) => value === null || typeof value === 'number');

const UNITS = [
  'fahrenheit',
  'celsius',
  'K',
  '°F',
  '°C',
  'wmoUnit:degF',
  'wmoUnit:degC',
  'unit:degC',
  'm/s',
  'km/h',
];

const KEYS = [
  '__proto__',
  'constructor',
  'prototype',
  'toString',
  'hasOwnProperty',
  'length',
  'AIR_TEMPERATURE',
  '',
];

interface Place {
  readonly parent: Json[] | { [key: string]: Json };
  readonly key: string | number;
  readonly value: Json;
  readonly pick: number;
}

const KINDS = {
  unknown: (at: Place) =>
    set(at, typeof at.value === 'number' ? NUMBERS[at.pick % NUMBERS.length]! : at.value),
  replace: (at: Place) => set(at, STRANGE[at.pick % STRANGE.length]!),
  remove: (at: Place) => remove(at),
  retype: (at: Place) => set(at, retyped(at.value)),
  reunit: (at: Place) => set(at, UNITS[at.pick % UNITS.length]!),
  rekey: (at: Place) => rename(at, KEYS[at.pick % KEYS.length]!),
  shift: (at: Place) => set(at, shifted(at.value, (at.pick % 401) - 200)),
  scale: (at: Place) => set(at, scaled(at.value, at.pick)),
  nest: (at: Place) => set(at, nested(at.value, at.pick)),
  double: (at: Place) => repeat(at),
  reorder: (at: Place) => reorder(at),
  cutShort: (at: Place) =>
    set(at, Array.isArray(at.value) ? at.value.slice(0, at.pick % (at.value.length + 1)) : null),
  blank: (at: Place) => set(at, blanked(at.value, STRANGE[at.pick % STRANGE.length]!)),
} as const;

const TEXT_KINDS = {
  cutText: (text: string, pick: number) => text.slice(0, pick % (text.length + 1)),
  nanText: (text: string, pick: number) =>
    replaceNumber(text, pick, ['NaN', '-nan', 'Infinity', '1e999', '-1e999'][pick % 5]!),
  stuffText: (text: string, pick: number) => {
    const at = pick % (text.length + 1);
    return (
      text.slice(0, at) +
      ['\u0000', ',', '}', '\uFEFF', '\uD800', '"', '\n', 'Unexpected error'][pick % 8]! +
      text.slice(at)
    );
  },
  twiceText: (text: string) => text + text,
} as const;

/** Between one and four changes in a row. */
export const changes: Arbitrary<Change[]> = array(
  record({
    kind: oneof(
      { weight: 6, arbitrary: constantFrom('unknown' as const, 'remove' as const, 'shift' as const) },
      { weight: 12, arbitrary: constantFrom(...(Object.keys(KINDS) as (keyof typeof KINDS)[])) },
      { weight: 1, arbitrary: constantFrom(...(Object.keys(TEXT_KINDS) as (keyof typeof TEXT_KINDS)[])) },
      { weight: 1, arbitrary: constant('spoil' as const) },
    ),
    route: array(nat(1000), { minLength: 1, maxLength: 9 }),
    pick: nat(100_000),
  }),
  { minLength: 1, maxLength: 4 },
);

export interface Body {
  readonly value: Json;
  /** Which numbers are temperatures, for `spoil`, which makes all of them unusable. */
  readonly isTemperature: (path: Path) => boolean;
  readonly write: (value: Json) => string;
}

/** The text of a body after some changes. */
export function mutated(body: Body, list: readonly Change[]): string {
  const root: Json[] = [structuredClone(body.value)];
  for (const { kind, route, pick } of list) {
    if (kind === 'spoil') spoil(root, body, pick);
    else if (kind in KINDS) KINDS[kind as keyof typeof KINDS]({ ...locate(root, route), pick });
  }
  return list.reduce(
    (text, { kind, pick }) =>
      kind in TEXT_KINDS ? TEXT_KINDS[kind as keyof typeof TEXT_KINDS](text, pick) : text,
    body.write(root[0] ?? null),
  );
}

function locate(root: Json[], route: readonly number[]): Omit<Place, 'pick'> {
  let at: Omit<Place, 'pick'> = { parent: root, key: 0, value: root[0] ?? null };
  for (const turn of route) {
    if (at.value === null || typeof at.value !== 'object') break;
    const keys = Object.keys(at.value);
    const key = keys[turn % keys.length];
    if (key === undefined) break;
    at = { parent: at.value, key, value: (at.value as { [key: string]: Json })[key] ?? null };
  }
  return at;
}

/** As JSON.parse does: `__proto__` is a key like any other. */
function set({ parent, key }: Omit<Place, 'pick'>, value: Json): void {
  Object.defineProperty(parent, key, { value, enumerable: true, writable: true, configurable: true });
}

function remove({ parent, key }: Place): void {
  if (Array.isArray(parent)) parent.splice(Number(key), 1);
  else Reflect.deleteProperty(parent, key);
}

function rename(at: Place, name: string): void {
  if (Array.isArray(at.parent)) return set(at, name);
  Reflect.deleteProperty(at.parent, at.key);
  set({ ...at, key: name }, at.value);
}

function retyped(value: Json): Json {
  if (Array.isArray(value)) return Object.fromEntries(value.entries());
  if (value !== null && typeof value === 'object') return Object.values(value);
  return typeof value === 'number' ? String(value) : [value];
}

/** A time moved by hours, epoch seconds too; any other number by as many tenths. */
function shifted(value: Json, hours: number): Json {
  if (typeof value === 'number') return value > 1e9 ? value + 3600 * hours : value + hours / 10;
  if (typeof value !== 'string' || Number.isNaN(Date.parse(value.slice(0, 20)))) return value;
  const time = new Date(Date.parse(value.slice(0, 20)) + 3_600_000 * hours).toISOString();
  return time.slice(0, 19) + value.slice(19);
}

function scaled(value: Json, pick: number): Json {
  return typeof value === 'number' ? value * [1.8, 100, -1, 1e-3, 1e300][pick % 5]! : value;
}

function nested(value: Json, pick: number): Json {
  const asObject = pick % 2 === 0;
  let result = value;
  for (let depth = pick % 1500; depth > 0; depth -= 1) result = asObject ? { a: result } : [result];
  return result;
}

function repeat({ parent, key, value }: Place): void {
  if (Array.isArray(parent)) parent.splice(Number(key), 0, structuredClone(value));
}

function reorder(at: Place): void {
  const { parent, key, value, pick } = at;
  if (Array.isArray(value)) return set(at, value.toReversed());
  if (!Array.isArray(parent)) return;
  const other = pick % parent.length;
  [parent[Number(key)], parent[other]] = [parent[other] ?? null, value];
}

/** Every leaf of a list or of an object in one go. */
function blanked(value: Json, blank: Json): Json {
  if (Array.isArray(value))
    return value.map((item) => (item !== null && typeof item === 'object' ? item : structuredClone(blank)));
  return value;
}

function spoil(root: Json[], { isTemperature }: Body, pick: number): void {
  const bad: readonly Json[] = [null, -9999, 1e308, 9999, 'NaN', -273.15];
  walk(root[0] ?? null, (place, path) => {
    if (typeof place.value === 'number' && isTemperature(path)) set(place, bad[pick % bad.length]!);
  });
}

/** Every leaf below a value, in order; without recursion, since bodies may be nested deeply. */
function walk(value: Json, visit: (place: Omit<Place, 'pick'>, path: Path) => void): void {
  const open: { readonly at: Json; readonly path: Path }[] = [{ at: value, path: [] }];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const { at, path } = next;
    if (at === null || typeof at !== 'object' || path.length > 40) continue;
    for (const [key, child] of Object.entries(at)) {
      visit({ parent: at, key, value: child }, [...path, key]);
      open.push({ at: child, path: [...path, key] });
    }
  }
}

function replaceNumber(text: string, pick: number, by: string): string {
  const numbers = [...text.matchAll(/-?\d+(\.\d+)?(?=[,\]}\n])/g)];
  const found = numbers[pick % Math.max(1, numbers.length)];
  return found === undefined
    ? text
    : text.slice(0, found.index) + by + text.slice(found.index + found[0].length);
}
