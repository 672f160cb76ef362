/**
 * How far members may be off: a single forecast is dressed with possible errors, an ensemble is given an honest
 * spread. Raw ensembles of air temperature stand too close together, so that without a record of the place the stated
 * law of errors is the least spread that is believed.
 */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { errorDeviationK, type ErrorLaw } from './error-law.ts';
import { standardErrors } from './error-lattice.ts';
import { hourOfDay, type LearnedBias } from './learned-bias.ts';
import type { LocalRecord, SpreadRecord } from './local-record.ts';
import type { Weighted } from './middle.ts';

/** With so many independent days half of what the record says is taken. Engineering estimate, as are all below. */
const HALF_DAYS = 10;
const LEAST_STRETCH = 0.8;
const MOST_STRETCH = 3;
/** Recorded errors stand for the law's within these factors. */
const LEAST_ERROR = 0.5;
const MOST_ERROR = 4;
/** A calm autumn says little of the first outbreak: of the days before this one the least is higher. */
const NEAR_DAYS = 3;
const LEAST_NEAR_ERROR = 0.7;

/** An ensemble of fewer is not spread evenly enough by one error each. */
const FEW = 15;
/** Members that stand together nearly to the digit are not moved apart by rounding. */
const MOST_SCALE = 10;

/** What is held of the errors at each lead. */
export interface SpreadLaw {
  /** Factor by which members are moved away from their mean. */
  readonly stretchAt: (leadS: number) => number;
  /** Least standard deviation of members [K]. */
  readonly deviationAt: (leadS: number) => number;
  readonly members: number;
}

/** What readings taught, as an outlook uses it. */
export interface Taught extends Pick<LearnedBias, 'fresh' | 'fadedK' | 'remainsK'> {
  readonly record: LocalRecord | null;
  readonly now: EpochSeconds;
  /** No deviation is less [K]; absent: 0. */
  readonly leastK?: number;
}

/**
 * The law as stated, or as the place's record has it, lead day by lead day, while its readings are fresh. The record's
 * errors are about a bias that was known in hindsight: what few readings leave of it is added to them. And where
 * readings have ceased, forecasts may be off by what is no longer taken off.
 */
export function spreadLaw(law: ErrorLaw, taught: Taught): SpreadLaw {
  const { record, now, fresh, fadedK, remainsK, leastK = 0 } = taught;
  const spread = (record?.spread ?? []).map((s) => ({ ...s, errorK: Math.hypot(s.errorK, remainsK) }));
  const factors = (of: (record: SpreadRecord) => number): LeadFactor[] =>
    spread.map((s) => ({ leadDay: s.leadDay, factor: 1 + fresh * (of(s) - 1) }));
  const stretches = factors(({ days, errorK, memberK }) =>
    clamp(shrunk(errorK / memberK, days), LEAST_STRETCH, MOST_STRETCH),
  );
  const errors = factors(({ leadDay, days, errorK }) => {
    const ratio = errorK / errorDeviationK(law, leadDay * DAY_S);
    return clamp(shrunk(ratio, days), leadDay < NEAR_DAYS ? LEAST_NEAR_ERROR : LEAST_ERROR, MOST_ERROR);
  });
  return {
    stretchAt: (leadS) => factorAt(stretches, leadS),
    deviationAt: (leadS) => {
      const deviation = errorDeviationK(law, leadS) * factorAt(errors, leadS);
      const faded = fadedK[hourOfDay(now + leadS)] ?? 0;
      return Math.max(leastK, faded === 0 ? deviation : Math.hypot(deviation, faded));
    },
    members: law.members,
  };
}

/** Towards 1 with few days; a ratio that is none says nothing. */
function shrunk(ratio: number, days: number): number {
  return Number.isFinite(ratio) ? 1 + ((ratio - 1) * days) / (days + HALF_DAYS) : 1;
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

interface LeadFactor {
  readonly leadDay: number;
  readonly factor: number;
}

/** Linear between lead days, and as the nearest one beyond them. */
function factorAt(factors: readonly LeadFactor[], leadS: number): number {
  const day = leadS / DAY_S;
  const before = factors.filter((f) => f.leadDay <= day).toSorted((a, b) => b.leadDay - a.leadDay)[0];
  const after = factors.filter((f) => f.leadDay > day).toSorted((a, b) => a.leadDay - b.leadDay)[0];
  if (before === undefined || after === undefined) return (before ?? after)?.factor ?? 1;
  const share = (day - before.leadDay) / (after.leadDay - before.leadDay);
  return before.factor + share * (after.factor - before.factor);
}

/** Hours ahead of now; those that have passed have no errors. */
export interface Ahead {
  readonly firstHour: EpochSeconds;
  readonly hours: number;
  readonly now: EpochSeconds;
}

function firstLead({ firstHour, now }: Ahead): number {
  return Math.max(0, Math.ceil((now - firstHour) / HOUR_S));
}

function leadOf(hour: number, { firstHour, now }: Ahead): number {
  return firstHour + hour * HOUR_S - now;
}

/** A single forecast and its possible errors: itself first. Weights sum to 1. */
export function dressed<M extends Weighted>(member: M, law: SpreadLaw, ahead: Ahead): M[] {
  const first = firstLead(ahead);
  const deviations = member.temperatureC.map((_, i) => law.deviationAt(leadOf(i, ahead)));
  const errors = standardErrors(law.members, Math.max(1, ahead.hours - first));
  return errors.map((error) => ({
    ...member,
    weight: 1 / law.members,
    temperatureC: member.temperatureC.map((t, i) =>
      i < first ? t : t + (deviations[i] ?? 0) * (error[i - first] ?? 0),
    ),
  }));
}

/**
 * Members of one model with an honest spread: stretched about their mean as the record has it, and where that is less
 * than the law's deviation, each with an error of its own besides, or with several where they are few. The mean stays.
 *
 * @param members - their weights sum to 1
 */
export function honest<M extends Weighted>(members: readonly M[], law: SpreadLaw, ahead: Ahead): M[] {
  const first = firstLead(ahead);
  const erring = members.length < FEW ? copied(members, law, ahead) : ranked(members, first, ahead.hours);
  const courses = erring.map(({ member }) => Float64Array.from(member.temperatureC));
  const weights = erring.map(({ member }) => member.weight);
  for (let i = first; i < ahead.hours; i++) {
    const leadS = leadOf(i, ahead);
    const stretch = law.stretchAt(leadS);
    const values = courses.map((c) => c[i] ?? Number.NaN);
    const mean = weightedMean(values, weights);
    const least = law.deviationAt(leadS);
    const off = centred(values, weights).map((d) => stretch * d);
    const own = Math.sqrt(Math.max(0, least * least - square(off, weights)));
    const error = centred(
      erring.map((e) => e.error[i - first] ?? 0),
      weights,
    );
    const both = off.map((d, m) => d + own * (error[m] ?? 0));
    const scale = scaleTo(least, Math.sqrt(square(both, weights)));
    courses.forEach((c, m) => {
      c[i] = mean + scale * (both[m] ?? 0);
    });
  }
  return erring.map(({ member }, m) => ({ ...member, temperatureC: courses[m] ?? member.temperatureC }));
}

/** Few errors are never quite independent of the members that bear them; a spread of nothing is not blown up. */
function scaleTo(leastK: number, foundK: number): number {
  return foundK * MOST_SCALE > leastK ? Math.max(1, leastK / foundK) : 1;
}

/** A member and its error by hour of lead. */
interface Erring<M> {
  readonly member: M;
  readonly error: Float64Array;
}

/** Each with a set of errors, so that together they are about as many as those of a single forecast. */
function copied<M extends Weighted>(members: readonly M[], law: SpreadLaw, ahead: Ahead): Erring<M>[] {
  const wanted = Math.ceil(law.members / members.length);
  const copies = Math.max(3, wanted + 1 - (wanted % 2));
  const errors = standardErrors(copies, Math.max(1, ahead.hours - firstLead(ahead)));
  return members.flatMap((m) =>
    errors.map((error) => ({ member: { ...m, weight: m.weight / copies }, error })),
  );
}

/**
 * An error's course for each member, the same for the same members in whatever order: opposite ones go to neighbours in
 * warmth, so that errors and members have nothing to do with each other.
 */
function ranked<M extends Weighted>(members: readonly M[], first: number, hours: number): Erring<M>[] {
  const even = members.length % 2 === 0 ? 1 : 0;
  const lattice = standardErrors(members.length + even, Math.max(1, hours - first)).slice(even);
  const ranks = members
    .map(({ temperatureC, weight }, index) => ({ index, weight, ahead: temperatureC.subarray(first) }))
    .toSorted((a, b) => compared(a.ahead, b.ahead) || a.weight - b.weight || a.index - b.index);
  const byIndex = new Map(ranks.map(({ index }, rank) => [index, lattice[rank]]));
  return members.map((member, index) => ({ member, error: byIndex.get(index) ?? new Float64Array(hours) }));
}

/** By their sums, but for rounding, then hour by hour. */
function compared(a: Float64Array, b: Float64Array): number {
  const sum = (of: Float64Array): number => Math.round(1e6 * of.reduce((total, t) => total + t, 0));
  const byWarmth = sum(a) - sum(b);
  if (byWarmth !== 0) return byWarmth;
  const i = a.findIndex((t, k) => t !== b[k]);
  return i < 0 ? 0 : (a[i] ?? 0) - (b[i] ?? 0);
}

function weightedMean(values: readonly number[], weights: readonly number[]): number {
  return values.reduce((sum, value, m) => sum + (weights[m] ?? 0) * value, 0);
}

function centred(values: readonly number[], weights: readonly number[]): number[] {
  const mean = weightedMean(values, weights);
  return values.map((value) => value - mean);
}

function square(deviations: readonly number[], weights: readonly number[]): number {
  return deviations.reduce((sum, d, m) => sum + (weights[m] ?? 0) * d * d, 0);
}
