/** What cold nights do to one trailer behind each protection, as docs/model.md shows it. */
import { asItStands } from '../../src/decision/options.ts';
import { buildUnit } from '../../src/model/catalogue.ts';
import { emptiedAtDusk } from '../../src/model/damage.ts';
import { keptWarm } from '../../src/model/kept-warm.ts';
import { RiskAssessor } from '../../src/model/risk.ts';
import { zoneAtHours, type Trace } from '../../src/model/trace.ts';
import type { HeatSpec, UnitModel, UnitSpec, ZoneId } from '../../src/model/unit.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import type { Outlook } from '../../src/weather/outlook.ts';

export const LOWS_C = [0, -3, -6, -10, -18] as const;

/** 30 ft, no slide-out, hose in, tanks part full. */
const TRAILER: UnitSpec = {
  id: 'blue',
  kind: 'travel-trailer',
  lengthM: 9.144,
  slides: 0,
  belly: 'enclosed',
  skirting: 'none',
  hoseConnected: false,
  heat: null,
  network: null,
  waterHeater: 'off',
  tanks: { fresh: 0.5, grey: 0.3, black: 0.3 },
  parts: { catalogue: true, add: [], without: [], own: [] },
};

type Protection = readonly [name: string, over: Partial<UnitSpec>, ductedShare: number];

const SKIRTED: readonly Protection[] = (
  [
    ['open belly', { belly: 'open' }, 0],
    ['enclosed', { belly: 'enclosed' }, 0],
    ['heated, 4 %', { belly: 'heated' }, 0.04],
    ['heated, 12 %', { belly: 'heated' }, 0.12],
  ] as const
).flatMap(([name, over, share]) =>
  (['none', 'vinyl', 'insulated'] as const).map((skirting): Protection => [
    skirting === 'none' ? name : `${name}, ${skirting} skirting`,
    { ...over, skirting },
    share,
  ]),
);

const PROTECTIONS: readonly Protection[] = [
  ...SKIRTED,
  ['enclosed, torn skin', { bellySkin: 'torn' }, 0],
  ['heated, 12 %, torn skin', { belly: 'heated', bellySkin: 'torn' }, 0.12],
  ['enclosed, in a row', { shelter: 'row' }, 0],
  ['enclosed, in a barn', { shelter: 'barn' }, 0],
];

/** 30,000 BTU/h of input. */
const FURNACE: HeatSpec = { setC: 18, furnaceW: 6594, ductedShare: null, running: true };

const WET: UnitWater = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} };
const AT_DUSK: UnitWater = { ...WET, circuits: emptiedAtDusk(WET, { since: null, by: null }) };

interface Standing {
  readonly unit: UnitModel;
  readonly water: UnitWater;
}

type Heating = (spec: UnitSpec, ductedShare: number) => Standing;

/** As parked, with every circuit full. */
const off: Heating = (spec) => ({ unit: buildUnit(spec), water: WET });

/** The furnace on, the list for dusk done. */
const furnace: Heating = (spec, ductedShare) => {
  const unit = keptWarm({ ...spec, waterHeater: 'gas', heat: { ...FURNACE, ductedShare } });
  if (unit === null) throw new Error('There is no furnace to keep it warm with.');
  return { unit, water: AT_DUSK };
};

/** The same with 3 kW of electric heaters on before the furnace. */
const electric: Heating = (spec, ductedShare) => {
  const heat = { ...FURNACE, ductedShare, electricW: 3000 };
  return { unit: buildUnit({ ...spec, cupboardsOpen: true, waterHeater: 'gas', heat }), water: AT_DUSK };
};

/** Ways to heat, by the name that the page's table has. */
const HEATINGS = { off, furnace, electric } as const;
export type HeatingName = keyof typeof HEATINGS;
export const HEATINGS_SHOWN = Object.keys(HEATINGS) as readonly HeatingName[];

/** From noon 72 h before the first evening; the third night ends at noon, 72 h after it. */
const HOURS = 144;
const NOON_H = 72;

/** Highs at 15:00, lows at 6:00, cosines between; mild until the first afternoon, which reaches +4 °C at least. */
function airAt(hour: number, lowC: number): number {
  const day = Math.floor((hour - 3) / 24);
  const since = hour - 3 - 24 * day;
  const highOf = (d: number): number => (d < 3 ? 12 : d === 3 ? Math.max(4, lowC + 8) : lowC + 8);
  const low = day < 3 ? 4 : lowC;
  if (since <= 15) return between(highOf(day), low, since / 15);
  return between(low, highOf(day + 1), (since - 15) / 9);
}

function between(from: number, to: number, share: number): number {
  return (from + to) / 2 + ((from - to) / 2) * Math.cos(Math.PI * share);
}

function outlookOf(lowC: number): Outlook {
  const filled = (value: number): Float64Array => new Float64Array(HOURS + 1).fill(value);
  return {
    source: 'made up',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    version: '1',
    firstHour: 0,
    endsAtHole: false,
    hours: HOURS + 1,
    members: [
      {
        weight: 1,
        temperatureC: Float64Array.from({ length: HOURS + 1 }, (_, hour) => airAt(hour, lowC)),
        windSpeedMps: filled(2),
        groundC: filled(4),
      },
    ],
    middle: 0,
    resolution: 1,
    assumptions: [],
  };
}

/** Lowest from the first noon on. */
function lowest(trace: Trace, zone: ZoneId): number {
  return Math.min(...zoneAtHours(trace, zone).subarray(NOON_H));
}

interface Outcome {
  readonly underbellyC: number;
  readonly cabinetC: number;
  /** Null: none. Hours since outside air first came to 0 °C. */
  readonly first: { readonly label: string; readonly hours: number } | null;
}

function outcomeOf({ unit, water }: Standing, lowC: number): Outcome {
  const now = NOON_H * 3600;
  const outlook = outlookOf(lowC);
  const assessor = new RiskAssessor({ unit, outlook, water, now, rule: { atC: -4, hours: 6 } });
  const scenario = asItStands(unit, water, now);
  const trace = assessor.trace(scenario, 0);
  const lows = { underbellyC: lowest(trace, 'underbelly'), cabinetC: lowest(trace, 'cabinet') };
  const [risk] = assessor.assess([scenario]);
  const part = unit.parts[risk?.firstPart[0] ?? -1];
  if (part === undefined) return { ...lows, first: null };
  const hours = ((risk?.firstAt[0] ?? Number.NaN) - freezesAt(outlook)) / 3600;
  return { ...lows, first: { label: part.label, hours } };
}

/** When outside air first comes to 0 °C [s]. */
function freezesAt({ members: [member] }: Outlook): number {
  const air = member?.temperatureC ?? new Float64Array(0);
  const hour = air.findIndex((t) => t < 0);
  const [from = Number.NaN, to = Number.NaN] = air.subarray(hour - 1);
  return 3600 * (hour - 1 + from / (from - to));
}

/** Rows of cells, a protection each and then a night each; without heat the duct's share tells nothing. */
export function protectionTable(heating: HeatingName): string[][] {
  const rows = PROTECTIONS.filter(([, , share]) => heating !== 'off' || share !== 0.12);
  return rows.map(([name, over, share]) => {
    const standing = HEATINGS[heating]({ ...TRAILER, ...over }, share);
    return [
      heating === 'off' ? name.replace(', 4 %', '') : name,
      ...LOWS_C.map((lowC) => cellOf(outcomeOf(standing, lowC))),
    ];
  });
}

function cellOf({ underbellyC, cabinetC, first }: Outcome): string {
  const lost = first === null ? 'none' : `${first.label}, ${first.hours.toFixed(1)} h`;
  return `${celsius(underbellyC)} / ${celsius(cabinetC)}; ${lost}`;
}

function celsius(value: number): string {
  const text = Math.abs(value).toFixed(1);
  if (text === '0.0') return text;
  return `${value < 0 ? '−' : '+'}${text}`;
}
