/** When a place's water is shut and its dump closed: by a date, or by the cold. */
import { DateTime } from 'luxon';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { LocalDate } from '../quantity/local-date.ts';

/** What shuts one of them; null: nothing known. */
export interface ClosingTerms {
  readonly on: LocalDate | null;
  readonly belowC: number | null;
}

/** A place's water service, as its people announce it. Dates are days of the place's own calendar. */
export interface ServiceTerms {
  readonly water: ClosingTerms;
  readonly dump: ClosingTerms;
  /** When both are open again; null: not announced. */
  readonly opensOn: LocalDate | null;
  /** Hour of the day at which the dates hold, in minutes after local midnight. */
  readonly atMinute: number;
}

export interface Closing {
  /** In the past: it is shut already. */
  readonly at: EpochSeconds;
  readonly because: 'date' | 'cold';
  /** Null: not announced, or not within the forecast. */
  readonly opensAt: EpochSeconds | null;
}

/** Outside air of the place, hourly. */
export interface ServiceAir {
  readonly firstHour: EpochSeconds;
  readonly members: readonly { readonly weight: number; readonly temperatureC: ArrayLike<number> }[];
  readonly middle: number;
}

export interface ClosingsRequest {
  readonly terms: ServiceTerms;
  readonly timeZone: string;
  /** Null: there is no forecast; then only dates are known. */
  readonly air: ServiceAir | null;
  readonly now: EpochSeconds;
  /** How far ahead the cold of a forecast counts. */
  readonly until: EpochSeconds;
}

export interface Closings {
  readonly water: Closing | null;
  readonly dump: Closing | null;
}

export function closingsOf(request: ClosingsRequest): Closings {
  return { water: closingOf(request.terms.water, request), dump: closingOf(request.terms.dump, request) };
}

/** The one in force, else the one that comes first. */
function closingOf({ on, belowC }: ClosingTerms, request: ClosingsRequest): Closing | null {
  const byDate = on === null ? null : dateClosing(on, request);
  const byCold = belowC === null || request.air === null ? null : coldClosing(belowC, request.air, request);
  if (byDate === null || byCold === null) return byDate ?? byCold;
  if (byDate.at <= byCold.at) return byDate;
  // What the cold has shut until the date comes stays shut for the date's reason.
  const isShutUntil = byCold.opensAt === null || byCold.opensAt >= byDate.at;
  return isShutUntil ? { ...byCold, opensAt: byDate.opensAt } : byCold;
}

function dateClosing(on: LocalDate, { terms, timeZone, now }: ClosingsRequest): Closing | null {
  const instant = (date: LocalDate): EpochSeconds => instantOf(date, terms.atMinute, timeZone);
  const opensAt = terms.opensOn === null ? null : instant(terms.opensOn);
  return opensAt !== null && opensAt <= now ? null : { at: instant(on), because: 'date', opensAt };
}

/** An hour that the clocks leave out is taken as the one after it. */
function instantOf({ year, month, day }: LocalDate, minute: number, zone: string): EpochSeconds {
  const midnight = DateTime.fromObject({ year, month, day }, { zone }).startOf('day');
  return midnight.set({ hour: Math.floor(minute / 60), minute: minute % 60 }).toSeconds();
}

/** So many of the members that it is worth being ready for. Engineering estimate. */
const SHARE = 1 / 3;
/** Nobody opens the water for the warm hours of one day. Engineering estimate. */
const WARM_HOURS = 24;

function coldClosing(belowC: number, air: ServiceAir, { now, until }: ClosingsRequest): Closing | null {
  const isCold = coldHours(belowC, air);
  const hourAt = (i: number): EpochSeconds => air.firstHour + i * HOUR_S;
  const middle = air.members[air.middle]?.temperatureC ?? [];
  const standing = Math.floor((now - air.firstHour) / HOUR_S);
  const ahead = isCold.findIndex((cold, i) => cold && hourAt(i) >= now && hourAt(i) <= until);
  const first = lastCold(isCold, standing) ?? ahead;
  if (first < 0) return null;
  const at = Math.min(hourAt(first), crossing(middle, first, belowC) * HOUR_S + air.firstHour);
  const warm = warmAgain(isCold, first);
  return { at, because: 'cold', opensAt: warm === null ? null : hourAt(warm) };
}

/** Hours in which the middle course, or a third of the members, stand at or below it. */
function coldHours(belowC: number, { members, middle }: ServiceAir): boolean[] {
  const hours = Math.max(0, ...members.map(({ temperatureC }) => temperatureC.length));
  return Array.from({ length: hours }, (_, i) => {
    const isBelow = members.map(({ temperatureC }) => (temperatureC[i] ?? Infinity) <= belowC);
    const share = members.reduce((sum, { weight }, m) => sum + (isBelow[m] === true ? weight : 0), 0);
    return isBelow[middle] === true || share >= SHARE - 1e-9;
  });
}

/** The hour since which it is shut by now; null: it is open. It stays shut through the warm hours of a day. */
function lastCold(isCold: readonly boolean[], now: number): number | null {
  let first: number | null = null;
  for (let i = now; i >= 0; i--) {
    if (isCold[i] === true) first = i;
    else if ((first ?? now + 1) - i >= WARM_HOURS) break;
  }
  return first;
}

/** The last hour of a whole warm day; null: there is none before the end. */
function warmAgain(isCold: readonly boolean[], from: number): number | null {
  let warm = 0;
  for (let i = from; i < isCold.length; i++) {
    warm = isCold[i] === true ? 0 : warm + 1;
    if (warm === WARM_HOURS) return i;
  }
  return null;
}

/** Where the course comes down to it before that hour, in hours; the hour itself where it does not. */
function crossing(course: ArrayLike<number>, hour: number, belowC: number): number {
  const [before, then] = [course[hour - 1] ?? Number.NaN, course[hour] ?? Number.NaN];
  return before > belowC && then < belowC ? hour - 1 + (before - belowC) / (before - then) : hour;
}
