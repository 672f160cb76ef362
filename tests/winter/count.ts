/**
 * What a season came to, counted alike for the program and for fixed rules.
 *
 * A stretch is a unit from its filling (or thaw) to the next. Its onset is the first damage that the true air would do
 * to it had nobody touched it. It is missed without a call to act at least twelve hours before. The stretch's first
 * call is the alarm: true where the true air, within 72 h of it, would damage the unit as it is used. More work asked
 * for later in the same stretch is no second alarm, neither for the program nor for a rule, which asks for all of it at
 * once; `everyCall` counts each message by itself.
 */
import { lotOf, onsetAfter } from './lot.ts';
import { WINDOW_S, type Season, type Stretch } from './season.ts';
import type { Winter } from './series.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const IN_TIME_S = 12 * HOUR;

export interface Count {
  /** Onsets. */
  readonly onsets: number;
  /** Of these, without a call to act at least twelve hours before. */
  readonly missed: number;
  /** Units that came to harm as they really stood. */
  readonly harmed: number;
  /** Of these, though they had been called for twelve hours before. */
  readonly harmedThoughCalled: number;
  readonly trueAlarms: number;
  readonly falseAlarms: number;
  readonly everyCall: { readonly true: number; readonly false: number };
  /** Times that work was done, and of these how often nothing would have come to harm before it was filled again. */
  readonly works: number;
  readonly needlessWorks: number;
  readonly messages: number;
  /** Most messages to one person about one unit on one day of the place, and within any 24 hours. */
  readonly mostADay: number;
  readonly mostIn24h: number;
}

export const NONE: Count = {
  onsets: 0,
  missed: 0,
  harmed: 0,
  harmedThoughCalled: 0,
  trueAlarms: 0,
  falseAlarms: 0,
  everyCall: { true: 0, false: 0 },
  works: 0,
  needlessWorks: 0,
  messages: 0,
  mostADay: 0,
  mostIn24h: 0,
};

/** One stretch that was missed, or an alarm for nothing: to look at. */
export interface Judged {
  readonly stretch: Stretch;
  readonly onsetAt: number | null;
  readonly isMissed: boolean;
  readonly isFalse: boolean;
}

export function judged(season: Season, winter: Winter): readonly (Judged & { readonly count: Count })[] {
  const config = lotOf({ winter, accepted: 0.05, members: 11 });
  return season.stretches.map((stretch) => {
    const unit = config.units.find((one) => one.id === stretch.unit)!;
    const truly = { config, unit, winter };
    const { filledAt, from, to, calls, workedAt, harmedAt } = stretch;
    const onsetAt = onsetAfter(truly, filledAt, { from, to });
    const isInTime = (at: number): boolean => calls.some((c) => at - c.at >= IN_TIME_S);
    const isTrue = ({ at }: { readonly at: number }): boolean => {
      if (onsetAt !== null && onsetAt > at) return onsetAt <= at + WINDOW_S;
      return onsetAfter(truly, filledAt, { from: at, to: at + WINDOW_S }) !== null;
    };
    const [alarm] = calls;
    const [isMissed, isFalse] = [
      onsetAt !== null && !isInTime(onsetAt),
      alarm !== undefined && !isTrue(alarm),
    ];
    const trueCalls = calls.filter(isTrue).length;
    const count = {
      ...NONE,
      onsets: onsetAt === null ? 0 : 1,
      missed: isMissed ? 1 : 0,
      harmed: harmedAt === null ? 0 : 1,
      harmedThoughCalled: harmedAt !== null && isInTime(harmedAt) ? 1 : 0,
      trueAlarms: alarm !== undefined && !isFalse ? 1 : 0,
      falseAlarms: isFalse ? 1 : 0,
      works: workedAt === null ? 0 : 1,
      needlessWorks: workedAt !== null && onsetAt === null ? 1 : 0,
      everyCall: { true: trueCalls, false: calls.length - trueCalls },
    };
    return { stretch, onsetAt, isMissed, isFalse, count };
  });
}

export function countOf(season: Season, winter: Winter): Count {
  const all = judged(season, winter).reduce((total, { count }) => sum(total, count), NONE);
  const sent = [...season.messages.values()];
  const day = localDay(winter);
  return {
    ...all,
    messages: sent.reduce((total, times) => total + times.length, 0),
    mostADay: most(sent, (at, other) => day(at) === day(other)),
    mostIn24h: most(sent, (at, other) => other >= at && other < at + DAY),
  };
}

function most(
  sent: readonly (readonly number[])[],
  together: (at: number, other: number) => boolean,
): number {
  return Math.max(
    0,
    ...sent.flatMap((times) => times.map((at) => times.filter((other) => together(at, other)).length)),
  );
}

function localDay({ timeZone }: Winter): (at: number) => string {
  const format = new Intl.DateTimeFormat('en-CA', { timeZone });
  return (at) => format.format(new Date(at * 1000));
}

export function sum(a: Count, b: Count): Count {
  return {
    onsets: a.onsets + b.onsets,
    missed: a.missed + b.missed,
    harmed: a.harmed + b.harmed,
    harmedThoughCalled: a.harmedThoughCalled + b.harmedThoughCalled,
    trueAlarms: a.trueAlarms + b.trueAlarms,
    falseAlarms: a.falseAlarms + b.falseAlarms,
    everyCall: {
      true: a.everyCall.true + b.everyCall.true,
      false: a.everyCall.false + b.everyCall.false,
    },
    works: a.works + b.works,
    needlessWorks: a.needlessWorks + b.needlessWorks,
    messages: a.messages + b.messages,
    mostADay: Math.max(a.mostADay, b.mostADay),
    mostIn24h: Math.max(a.mostIn24h, b.mostIn24h),
  };
}
