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

const LIMITS = [
  { name: 'below 0 °C', isCold: (t: number) => t < 0 },
  { name: 'at or below −4 °C', isCold: (t: number) => t <= -4 },
];

interface Night {
  readonly forecast: readonly number[];
  /** From 18 of the evening that lies so many days ahead of the forecast's noon, to 9 the next morning. */
  readonly from: number;
  readonly to: number;
  /** Of each limit. */
  readonly chances: readonly number[];
}

function happens(
  { from, to }: { from: number; to: number },
  values: ArrayLike<number>,
  limit: number,
): boolean {
  const at = LIMITS[limit]!.isCold;
  for (let i = from; i < to; i++) if (at(values[i] ?? Number.NaN)) return true;
  return false;
}

/** A quarter of the nights as they are, the rest made warmer or colder as a whole until they come near a limit. */
const NEAR_C = [null, 0, -2, -4];

function chancedNights(): Night[] {
  const random = new Random(1);
  return stations()
    .flatMap((station) => fromNoons(station, 96))
    .map((series, n) => {
      const from = 24 * (Math.floor(n / 4) % 3) + 6;
      const hours = { from, to: from + 16 };
      const low = Math.min(...series.slice(from, from + 16));
      const nearC = NEAR_C[n % 4] ?? null;
      const shift = nearC === null ? 0 : nearC - low + random.between(-3, 3);
      const forecast = series.map((t) => t + shift);
      const { members } = outlookOf(requestFor(madeForecast([{ temperatureC: forecast }])));
      const chances = LIMITS.map((_, limit) =>
        members.reduce((sum, m) => sum + (happens(hours, m.temperatureC, limit) ? m.weight : 0), 0),
      );
      return { forecast, ...hours, chances };
    });
}

interface Tenth {
  readonly drawn: number;
  /** Different nights of the series among them. */
  readonly different: number;
  readonly meanChance: number;
  readonly share: number;
}

function tenthsOf(nights: readonly Night[], limit: number): Tenth[] {
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
      const chance = night.chances[limit]!;
      const bin = bins[Math.min(9, Math.floor(chance * 10))]!;
      bin.drawn++;
      bin.chances += chance;
      bin.happened += happens(night, weather, limit) ? 1 : 0;
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
  itWithShared('is how often it comes about, to 5 points in each tenth with 400 nights', () => {
    const nights = chancedNights();
    LIMITS.forEach(({ name }, limit) => {
      const tenths = tenthsOf(nights, limit);
      process.stdout.write(`${name}: ${JSON.stringify(tenths)}\n`);
      const judged = tenths.filter((t) => t.drawn >= LEAST_NIGHTS);
      expect(judged.length).toBe(10);
      for (const { meanChance, share } of judged) expect(Math.abs(meanChance - share)).toBeLessThan(0.05);
    });
  });
});
