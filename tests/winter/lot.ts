/** Three units side by side for a whole winter, and what their weather really does to them. */
import type { Config, PlaceConfig, UnitConfig } from '../../src/config/config.ts';
import { warmed } from '../../src/app/evaluate.ts';
import { assessorOf } from '../../src/app/risk-question.ts';
import { asItStands } from '../../src/decision/options.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { configOf, scenario } from '../support/scenario.ts';
import { truthFrom } from './forecasts.ts';
import type { Winter } from './series.ts';

const HOUR = 3600;

const TRAILER = {
  place: 'lot',
  kind: 'travel-trailer',
  length: '24 ft',
  contacts: ['ann'],
  water: { state: 'in-use' },
  work: { keepWarm: '20 min', drain: '45 min', winterize: '90 min', travel: '40 min' },
} as const;

/** One with an open belly, one with an enclosed one, both cold, and one that is lived in with the heat on. */
const UNITS = [
  { ...TRAILER, id: 'open', belly: 'open', heat: 'none' },
  { ...TRAILER, id: 'enclosed', belly: 'enclosed', heat: 'none' },
  {
    ...TRAILER,
    id: 'heated',
    belly: 'heated',
    attended: true,
    heat: { set: '64 °F', furnace: '8 kW', ductedShare: 0.12, propane: '40 lb', running: true },
  },
];

export interface LotOf {
  readonly winter: Winter;
  /** Accepted chance of damage when nothing is done or it is kept warm. */
  readonly tolerance: number;
}

export function lotOf({ winter, tolerance }: LotOf): Config {
  const { timeZone, latitude, longitude } = winter;
  const place = { id: 'lot', label: 'Lot', latitude, longitude, timeZone, lie: 'ridge' };
  return scenario(
    configOf({
      units: UNITS,
      places: [place],
      people: [{ id: 'ann', name: 'Ann Example', email: 'ann@example.org', timeZone, headsUp: '72 h' }],
      errorModel: { kind: 'growing' },
      policy: { tolerance: { nothing: tolerance, 'keep-warm': tolerance } },
    }),
    { 'series.csv': 'time,temperatureC\n2018-10-01T00:00:00Z,5\n2018-10-01T01:00:00Z,5\n' },
  );
}

export interface Span {
  readonly from: number;
  readonly to: number;
}

interface Truly {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly winter: Winter;
  readonly water: UnitWater;
}

/** When the true air first damages a unit within a span, whose water is as stated then and before; null: it does not. */
export function trueDamage({ config, unit, winter, water }: Truly, { from, to }: Span): number | null {
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

/** As it is when it is used, and has been all along. */
export const WET: UnitWater = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} };
