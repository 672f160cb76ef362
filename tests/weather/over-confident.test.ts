/**
 * An ensemble that is too sure of itself and 1 K too warm, mended by the record of its place. Outside the project: the
 * open hourly series, and the Brier score by its definition (Brier 1950, Mon. Wea. Rev. 78:1-3), skill against the
 * share of cold nights.
 */
import { describe, expect } from 'vitest';
import type { ForecastMember } from '../../src/weather/forecast.ts';
import type { LocalRecord } from '../../src/weather/local-record.ts';
import { outlookOf, type OutlookRequest } from '../../src/weather/outlook.ts';
import { itWithShared } from '../shared-data.ts';
import { lawErrors } from '../support/law-errors.ts';
import { LAW, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';
import { Random } from '../support/random.ts';
import { fromNoons, stations } from '../support/stations.ts';

const HOURS = 60;
const MEMBERS = 30;
const BIAS_K = 1;
const HALF = { atStartK: LAW.atStartK / 2, perDayK: LAW.perDayK / 2 };

interface Case {
  /** Best knowledge: the weather is this, with errors of the law. */
  readonly centre: readonly number[];
  readonly weather: readonly number[];
  readonly ensemble: readonly (readonly number[])[];
}

function caseOf(centre: readonly number[], random: Random): Case {
  const off = (errors: readonly number[], by: number): number[] => centre.map((t, h) => t + errors[h]! + by);
  return {
    centre,
    weather: off(lawErrors(random, HOURS), 0),
    ensemble: Array.from({ length: MEMBERS }, () => off(lawErrors(random, HOURS, HALF), BIAS_K)),
  };
}

const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
const rootMeanSquare = (values: readonly number[]): number => Math.sqrt(mean(values.map((x) => x * x)));

/** What readings of so many days would have taught: bias and errors as they are in these cases. */
function recordOf(cases: readonly Case[]): LocalRecord {
  const means = cases.map((c) => c.weather.map((_, h) => mean(c.ensemble.map((m) => m[h]!))));
  const errors = cases.map((c, k) => c.weather.map((t, h) => means[k]![h]! - t));
  const bias = mean(errors.flat());
  return {
    biasK: Array.from({ length: 24 }, () => bias),
    readings: Array.from({ length: 24 }, () => cases.length),
    weighed: Array.from({ length: 24 }, () => cases.length),
    lastReadingAt: MIDNIGHT,
    spread: [0, 1, 2].map((leadDay) => {
      const h = leadDay * 24;
      return {
        leadDay,
        days: cases.length,
        errorK: rootMeanSquare(errors.map((e) => e[h]! - bias)),
        memberK: rootMeanSquare(cases.flatMap((c, k) => c.ensemble.map((m) => m[h]! - means[k]![h]!))),
      };
    }),
  };
}

/** The second night, from 18 to 9, of a series that begins at noon. */
const isCold = (values: ArrayLike<number>): boolean =>
  Array.from(values)
    .slice(30, 46)
    .some((t) => t < 0);

function chanceOf(members: readonly Partial<ForecastMember>[], over: Partial<OutlookRequest>): number {
  const outlook = outlookOf(requestFor(madeForecast(members), over));
  return outlook.members.reduce((sum, m) => sum + (isCold(m.temperatureC) ? m.weight : 0), 0);
}

function skillOf(cases: readonly Case[], chance: (of: Case) => number): number {
  const happened = cases.map((c) => (isCold(c.weather) ? 1 : 0));
  const base = mean(happened);
  const score = mean(cases.map((c, i) => (chance(c) - happened[i]!) ** 2));
  return 1 - score / (base * (1 - base));
}

function centres(random: Random): number[][] {
  return stations()
    .flatMap((station) => fromNoons(station, HOURS))
    .map((series) => {
      const shift = random.between(-3, 3) - Math.min(...series.slice(30, 46));
      return series.map((t) => t + shift);
    });
}

describe('an ensemble with half the true spread and 1 K of bias', () => {
  itWithShared('has, with the record of its place, the skill of the true law to 2 points', () => {
    const random = new Random(4);
    const all = centres(random);
    const some = (rest: number, most: number): Case[] =>
      all
        .filter((_, i) => i % 3 === rest)
        .slice(0, most)
        .map((centre) => caseOf(centre, random));
    const [learned, judged] = [some(0, 150), some(1, Infinity)];
    // Where the difference is large a third of them show it.
    const few = judged.filter((_, i) => i % 3 === 0);
    const record = recordOf(learned);
    const members = (c: Case) => c.ensemble.map((temperatureC) => ({ temperatureC, model: 'made' }));
    const skill = {
      trueLaw: skillOf(judged, (c) => chanceOf([{ temperatureC: c.centre }], {})),
      mended: skillOf(judged, (c) => chanceOf(members(c), { record })),
      withoutRecord: skillOf(few, (c) => chanceOf(members(c), {})),
      raw: skillOf(few, (c) => chanceOf(members(c), { errorLaw: null })),
    };
    process.stdout.write(`${judged.length} nights, Brier skill: ${JSON.stringify(skill)}\n`);
    expect(Math.abs(skill.mended - skill.trueLaw)).toBeLessThan(0.02);
    expect(skill.mended).toBeGreaterThan(skill.withoutRecord + 0.02);
    expect(skill.withoutRecord).toBeGreaterThan(skill.raw + 0.02);
  });
});
