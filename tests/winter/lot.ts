/** Three units side by side for a whole winter, and what their weather really does to them. */
import type { Config, PlaceConfig, UnitConfig } from '../../src/config/config.ts';
import { warmed } from '../../src/app/evaluate.ts';
import { assessorOf } from '../../src/app/risk-question.ts';
import { asItStands } from '../../src/decision/options.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import type { EpochSeconds } from '../../src/quantity/instant.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { configOf, scenario } from '../support/scenario.ts';
import { truthFrom } from './forecasts.ts';
import { endOf, type Winter } from './series.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;

/** Minutes on the way, and of the longest work. */
export const TRAVEL_MINUTES = 40;
export const WORK_MINUTES = 90;

/**
 * Parts that freeze no earlier than one that is left and are emptied with it, and tanks: what is first damaged, and
 * what is left to do when it has been drained, is the same without them, in half the time.
 */
const LEFT_OUT = [
  'outside-shower-hot',
  'flush-breaker',
  'strainer',
  'check-valve',
  'toilet-valve',
  'hand-spray',
  'bath-faucet',
  'hot-line',
  'cabinet-elbow',
  'bath-trap',
  'shower-trap',
  'heater-tank',
  'dump-black',
  'fresh-tank',
  'grey-tank',
  'black-tank',
] as const;

/** What the person who lives in the heated one has emptied and left so. */
const EMPTY_ALL_WINTER = [
  'outside-shower',
  'outside-shower-hot',
  'city-inlet',
  'black-flush',
  'flush-breaker',
];

const TRAILER = {
  place: 'lot',
  kind: 'travel-trailer',
  length: '24 ft',
  contacts: ['ann'],
  water: { state: 'in-use' },
  work: {
    keepWarm: '20 min',
    drain: '45 min',
    winterize: `${WORK_MINUTES} min`,
    travel: `${TRAVEL_MINUTES} min`,
  },
} as const;

/**
 * One with an open belly, one with an enclosed one, both cold; and one that is lived in with the heat on, its hose,
 * inlet, flush and outside shower emptied for the winter, as the list for dusk has it.
 */
const unitsOf = (leftOut: readonly string[]): readonly object[] => [
  { ...TRAILER, id: 'open', belly: 'open', heat: 'none', parts: { without: leftOut } },
  { ...TRAILER, id: 'enclosed', belly: 'enclosed', heat: 'none', parts: { without: leftOut } },
  {
    ...TRAILER,
    id: 'heated',
    belly: 'heated',
    attended: true,
    hose: 'none',
    parts: { without: [...new Set([...leftOut, ...EMPTY_ALL_WINTER])] },
    heat: { set: '64 °F', furnace: '8 kW', ductedShare: 0.12, propane: '40 lb', running: true },
  },
];

/** Accepted chance of damage when nothing is done or it is kept warm; `costs`: from what work and damage cost. */
export type Accepted = number | 'costs';

export interface LotOf {
  readonly winter: Winter;
  readonly accepted: Accepted;
  readonly members: number;
  /** Hours before the time to start by at which work is first called for; absent: as usual. */
  readonly callAhead?: number;
  /** With every part of the catalogue. */
  readonly whole?: boolean;
}

export function lotOf({ winter, accepted, members, callAhead, whole = false }: LotOf): Config {
  const { timeZone, latitude, longitude } = winter;
  // On a ridge no cold air gathers: the forecast's air is the unit's.
  const place = { id: 'lot', label: 'Lot', latitude, longitude, timeZone, lie: 'ridge' };
  const stated = { nothing: accepted, 'keep-warm': accepted, 'drain-part': accepted };
  return scenario(
    configOf({
      units: unitsOf(whole ? [] : LEFT_OUT),
      places: [place],
      people: [{ id: 'ann', name: 'Ann Example', email: 'ann@example.org', timeZone, headsUp: '72 h' }],
      errorModel: { kind: 'growing', members },
      policy: {
        tolerance: accepted === 'costs' ? 'from-costs' : stated,
        ...(callAhead === undefined ? {} : { callAhead: `${callAhead} h` }),
      },
    }),
    { 'series.csv': 'time,temperatureC\n2018-10-01T00:00:00Z,5\n2018-10-01T01:00:00Z,5\n' },
  );
}

export interface Span {
  readonly from: EpochSeconds;
  readonly to: EpochSeconds;
}

export interface Truly {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly winter: Winter;
}

/** When the true air first damages a unit within a span, whose water is as stated then and before; null: it does not. */
export function trueDamage(
  { config, unit, winter, water }: Truly & { readonly water: UnitWater },
  { from, to }: Span,
): EpochSeconds | null {
  const spot = config.places[0] as PlaceConfig;
  const hoursAhead = Math.ceil((to - from) / HOUR) + 2;
  const forecast = truthFrom(winter, from, hoursAhead);
  const outlook = outlookOf({ forecast, now: from, horizonHours: hoursAhead, spot, errorLaw: null });
  const truly = warmed(unit, water);
  const assessor = assessorOf({ config, unit: truly, outlook, water, now: from });
  const [risk] = assessor.assess([asItStands(truly.model, water, from)]);
  const at = risk?.firstAt[0] ?? Infinity;
  return at < to ? at : null;
}

/** As it is when it is used. */
function wetSince(since: EpochSeconds | null): UnitWater {
  return { all: { state: { kind: 'wet' }, since, by: null }, circuits: {} };
}

/** So long at once: a stretch that ends soon is not asked about the whole winter. */
const AT_ONCE_S = 15 * DAY;

/**
 * When the true air first damages a unit that was filled (null: has been in use all along) and that nobody touches.
 * Begins where it was filled; null: not before `to`.
 */
export function onsetAfter(
  truly: Truly,
  filled: EpochSeconds | null,
  { from, to }: Span,
): EpochSeconds | null {
  const end = Math.min(to, endOf(truly.winter));
  for (let at = from; at < end; at += AT_ONCE_S) {
    const onset = trueDamage(
      { ...truly, water: wetSince(filled) },
      { from: at, to: Math.min(end, at + AT_ONCE_S) },
    );
    if (onset !== null) return onset;
  }
  return null;
}
