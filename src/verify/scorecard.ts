/** How good the forecasts of one place were, and the advice made of them: `drainby.score/1`. */
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { contingency, relativeValue, type Warning } from './cost-loss.ts';
import { groupBy } from './group.ts';
import type { KeptForecast } from './kept-forecast.ts';
import { brierParts, brierScore, brierSkill, reliabilityTable, tenthOf } from './reliability.ts';
import { daysOf, scoredHours, type ScoredHour } from './scored-hour.ts';
import { crpsOfQuantiles, errorScores, mean } from './scores.ts';
import type { Measured } from './truth.ts';

/** What forecasts are held against. Only the place's own readings are of its very air. */
export const TRUTHS = ['readings', 'station', 'archive'] as const;
export type Truth = (typeof TRUTHS)[number];

export interface ScoreQuestion {
  readonly place: string;
  readonly asOf: EpochSeconds;
  readonly kept: readonly KeptForecast[];
  readonly measured: Readonly<Record<Truth, readonly Measured[]>>;
  /** By unit: for each night whether it was warned of, and whether its true weather would have done harm. */
  readonly nights: readonly { readonly unit: string; readonly nights: readonly Night[] }[];
}

interface Night {
  readonly warned: boolean;
  readonly harmed: boolean;
}

export type Scorecard = ReturnType<typeof scorecard>;

/** Null where there is nothing to compute a number from. Sources, truths and lead days without a scored hour are left out. */
export function scorecard({ place, asOf, kept, measured, nights }: ScoreQuestion) {
  const bySource = [...groupBy(kept, ({ source }) => source)];
  return {
    schema: 'drainby.score/1' as const,
    asOf: isoSecond(asOf),
    place,
    forecasts: bySource.flatMap(([source, ofSource]) =>
      TRUTHS.flatMap((truth) => {
        const hours = scoredHours(ofSource, measured[truth]);
        return [...groupBy(hours, ({ forecast }) => forecast.leadDay)]
          .toSorted(([a], [b]) => a - b)
          .map(([leadDay, ofLead]) => ({ source, truth, leadDay, ...leadScores(ofLead) }));
      }),
    ),
    advice: nights.map((of) => ({ unit: of.unit, ...adviceScores(of.nights) })),
  };
}

function leadScores(hours: readonly ScoredHour[]) {
  const days = hours.map(({ forecast }) => forecast.validDay);
  const { n, biasK, rmseK, maeK } = errorScores(hours.map(({ errorK }) => errorK));
  return {
    firstDay: isoSecond(days.reduce((least, day) => Math.min(least, day), Infinity)).slice(0, 10),
    lastDay: isoSecond(days.reduce((most, day) => Math.max(most, day), -Infinity)).slice(0, 10),
    days: daysOf(hours),
    hours: n,
    biasK: rounded(biasK),
    rmseK: rounded(rmseK),
    maeK: rounded(maeK),
    crpsK: rounded(mean(hours.map(crpsK))),
    below0: chanceScores(hours, { of: 'below0', happened: (t) => t < 0 }),
    atOrBelowMinus4: chanceScores(hours, { of: 'atOrBelowMinus4', happened: (t) => t <= -4 }),
  };
}

function crpsK({ forecast, hour, observedC }: ScoredHour): number {
  const { q05, q25, q50, q75, q95 } = forecast.quantilesC;
  const quantilesC = [q05, q25, q50, q75, q95].map((quantile) => quantile[hour] ?? Number.NaN);
  return crpsOfQuantiles(quantilesC, observedC);
}

interface Threshold {
  readonly of: 'below0' | 'atOrBelowMinus4';
  readonly happened: (observedC: number) => boolean;
}

function chanceScores(hours: readonly ScoredHour[], { of, happened }: Threshold) {
  const cases = hours.flatMap(({ forecast, hour, observedC }) => {
    const chance = forecast[of][hour] ?? Number.NaN;
    return Number.isNaN(chance) ? [] : [{ chance, happened: happened(observedC), day: forecast.validDay }];
  });
  const { reliability, resolution, uncertainty } = brierParts(cases, tenthOf);
  const skill = brierSkill(cases);
  return {
    brier: rounded(brierScore(cases)),
    reliability: rounded(reliability),
    resolution: rounded(resolution),
    uncertainty: rounded(uncertainty),
    baseRate: rounded(mean(cases.map((c) => Number(c.happened)))),
    skill: skill === null ? null : rounded(skill),
    tenths: reliabilityTable(cases).map((tenth) => ({
      ...tenth,
      meanChance: rounded(tenth.meanChance),
      frequency: rounded(tenth.frequency),
    })),
  };
}

function adviceScores(nights: readonly Night[]) {
  const counts = contingency(nights.map(({ warned, harmed }): Warning => ({ warned, happened: harmed })));
  const { hitRate, falseAlarmRate, baseRate } = counts;
  const known = hitRate !== null && falseAlarmRate !== null && baseRate !== null;
  return {
    nights: nights.length,
    ...counts,
    /** To somebody whose cost over loss is the base rate, to whom warnings are worth most. */
    bestValue: known ? relativeValue({ hitRate, falseAlarmRate, baseRate, costLoss: baseRate }) : null,
  };
}

/** To the ten-thousandth; null for no number. */
function rounded(value: number): number | null {
  return Number.isFinite(value) ? Math.round(value * 1e4) / 1e4 + 0 : null;
}
