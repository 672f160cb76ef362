/**
 * Sensors that are real: three New York airports through 2013, `shared/data/hourly` (ASOS, CC0), each held against a
 * forecast that is the airport itself with errors of the stated law, and against its neighbour as if that were the
 * forecast. What is wrong with a sensor is put in by hand.
 */
import { describe, expect } from 'vitest';
import type { DoubtCode, SensorVerdict } from '../../src/verify/sensor.ts';
import { judgeSensor } from '../../src/verify/sensor.ts';
import { nightOf } from '../../src/weather/local-correction.ts';
import { itWithShared } from '../shared-data.ts';
import { normal } from '../support/kept.ts';
import { Random } from '../support/random.ts';
import { airportHours, seriesOf, type StationHour } from '../support/station-hours.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const NEW_YORK = { latitude: 40.7, longitude: -74, lie: 'bench', coldSpotK: 0, elevationM: null } as const;
/** As often as a daemon would look. */
const PERIOD = 14 * DAY;

interface Series {
  readonly firstHour: number;
  readonly temperatureC: readonly number[];
}

/** Errors remember themselves over 36 h and have a deviation of 1.15 K: the law's half a day ahead. */
function withErrors({ firstHour, temperatureC }: Series, seed: number): Series {
  const random = new Random(seed);
  const kept = Math.exp(-1 / 36);
  let z = normal(random);
  const errors = temperatureC.map(() => (z = kept * z + Math.sqrt(1 - kept * kept) * normal(random)));
  return { firstHour, temperatureC: temperatureC.map((t, i) => t + 1.15 * errors[i]!) };
}

function judge(readings: readonly StationHour[], forecast: Series): SensorVerdict {
  const night = nightOf(NEW_YORK, forecast.firstHour, forecast.temperatureC.length);
  const now = readings.at(-1)!.at;
  return judgeSensor({ readings, of: 'outside', forecast, night, now, unit: 'C' });
}

/** The year in pieces of a fortnight. */
function fortnights(hours: readonly StationHour[]): StationHour[][] {
  const first = hours[0]!.at;
  const pieces: StationHour[][] = [];
  for (const hour of hours) (pieces[Math.floor((hour.at - first) / PERIOD)] ??= []).push(hour);
  return pieces.filter((piece) => piece.length > 24);
}

function counted(verdicts: readonly SensorVerdict[]): Map<DoubtCode, number> {
  const counts = new Map<DoubtCode, number>();
  for (const doubt of verdicts.flatMap(({ doubts }) => doubts))
    if (doubt !== null) counts.set(doubt.code, (counts.get(doubt.code) ?? 0) + 1);
  return counts;
}

const PAIRS = [
  ['EWR', 'LGA'],
  ['JFK', 'EWR'],
  ['LGA', 'JFK'],
] as const;

function doubtedShare(own: readonly StationHour[], forecast: Series): number {
  const counts = counted(fortnights(own).map((piece) => judge(piece, forecast)));
  return [...counts.values()].reduce((sum, n) => sum + n, 0) / own.length;
}

describe('an airport’s own thermometer', () => {
  itWithShared('is doubted in under 1 hour in 1,000 where the forecast errs by the law', () => {
    for (const [station] of PAIRS) {
      const own = airportHours(station);
      for (const seed of [1, 2, 3])
        expect(doubtedShare(own, withErrors(seriesOf(own), seed))).toBeLessThan(0.001);
    }
  });

  itWithShared(
    'is doubted in under 1 % of its hours where its neighbour, by another shore, is the forecast',
    () => {
      const shares = PAIRS.map(([own, other]) =>
        doubtedShare(airportHours(own), seriesOf(airportHours(other))),
      );
      expect(shares.reduce((sum, share) => sum + share, 0) / 3).toBeLessThan(0.01);
    },
  );
});

/** Of every fortnight of the year, its fifth to seventh day spoilt: how much of that is found, of the rest doubted. */
function found(code: DoubtCode, spoil: (hour: StationHour, i: number) => number | null): [number, number] {
  const own = airportHours('LGA');
  const forecast = withErrors(seriesOf(own), 4);
  const tally = { spoilt: 0, found: 0, rest: 0, doubted: 0 };
  for (const piece of fortnights(own)) {
    const from = piece[0]!.at + 4 * DAY;
    const spoilt = piece.map((hour, i) =>
      hour.at >= from && hour.at < from + 3 * DAY ? spoil(hour, i) : null,
    );
    const readings = piece.map((hour, i) => ({ ...hour, temperatureC: spoilt[i] ?? hour.temperatureC }));
    judge(readings, forecast).doubts.forEach((doubt, i) => {
      if (spoilt[i] === null) {
        tally.rest++;
        if (doubt !== null) tally.doubted++;
      } else {
        tally.spoilt++;
        if (doubt?.code === code) tally.found++;
      }
    });
  }
  expect(tally.spoilt).toBeGreaterThan(20);
  return [tally.found / tally.spoilt, tally.doubted / tally.rest];
}

const noon = ({ at }: StationHour): boolean => Math.abs(((at - 5 * HOUR) % DAY) / HOUR - 13) < 4;

/** What it is, what is doubted for, how it spoils an hour (null: not), the least share that must be found. */
const FAULTS: readonly (readonly [
  string,
  DoubtCode,
  (hour: StationHour, i: number) => number | null,
  number,
])[] = [
  // Three days in which the air moves by less than the limit are not told from a sensor that is stuck.
  ['a sensor that is stuck for three days', 'stuck', () => 3.4, 0.95],
  ['°F taken as °C', 'unit', ({ temperatureC: t }) => 1.8 * t + 32, 0.95],
  ['°C taken as °F', 'unit', ({ temperatureC: t }) => (t - 32) / 1.8, 0.95],
  [
    'a spike of 15 K now and then',
    'jumping',
    ({ temperatureC: t }, i) => (i % 9 === 0 ? t - 15 : null),
    0.95,
  ],
  ['scatter by 6 K', 'jumping', ({ temperatureC: t }, i) => t + 6 * Math.sin(i * i), 0.9],
  ['the code of a broken wire', 'absurd', () => -127, 1],
  ['sun that adds 10 K about noon', 'sun', (hour) => (noon(hour) ? hour.temperatureC + 10 : null), 0.95],
];

describe('what is put in by hand', () => {
  for (const [what, code, spoil, least] of FAULTS) {
    itWithShared(`is found, and little else doubted: ${what}`, () => {
      const [share, others] = found(code, spoil);
      expect(share).toBeGreaterThanOrEqual(least);
      // Mornings and evenings of days in the sun are left out with them, and the hours beside scatter.
      expect(others).toBeLessThan(code === 'sun' ? 0.06 : 0.03);
    });
  }
});
