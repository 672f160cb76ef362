/** What days held against nights give away: a sensor that the sun reaches. All limits are engineering estimates. */
import { HOUR_S } from '../quantity/instant.ts';
import { formatDifference, type TemperatureUnit } from '../quantity/temperature.ts';
import { aboveK, median, runs, spanS, type Finding, type Sample } from './sensor-value.ts';

interface Question {
  readonly of: 'outside' | 'zone' | 'held';
  readonly unit: TemperatureUnit;
}

const SUN = {
  /** Above the forecast by day [K], in so many readings over so long. */
  aboveK: 6,
  readings: 2,
  overS: HOUR_S / 2,
  /** While so many readings of the nights around are this near to it at their median [K]. */
  nightK: 3,
  nightReadings: 3,
  nightWithinS: 24 * HOUR_S,
} as const;

/** Days are doubted whole: where the sun comes late, the morning tells nothing of the afternoon. */
export function inTheSun(samples: readonly Sample[], { of, unit }: Question): Finding[] {
  if (of !== 'outside') return [];
  const nights = samples.filter(({ darkness }) => darkness === 1);
  const days = runs(samples, ({ darkness, at }, first) => darkness === 0 && at - first.at < 18 * HOUR_S);
  return [...hotDays(days, nights, unit), ...warmDays(days, nights, unit)];
}

function hotDays(days: readonly Sample[][], nights: readonly Sample[], unit: TemperatureUnit): Finding[] {
  return days.flatMap((day) => {
    const hot = day.filter((s) => aboveK(s) >= SUN.aboveK);
    if (hot.length < SUN.readings || spanS(hot) < SUN.overS || !nightsAgree(nights, day)) return [];
    const most = formatDifference(Math.max(...hot.map(aboveK)), unit);
    const message = `By day it read up to ${most} above the forecast, by night it agreed: the sun reaches it. Move it into the shade; until then its days are left out.`;
    return [{ samples: day, message }];
  });
}

function nightsAgree(nights: readonly Sample[], day: readonly Sample[]): boolean {
  return Math.abs(nightOffK(nights, day)) <= SUN.nightK;
}

/** Above the forecast at the median of the nights around; NaN: too few are known [K]. */
function nightOffK(nights: readonly Sample[], day: readonly Sample[]): number {
  const [start, end] = [day[0]?.at ?? Number.NaN, day.at(-1)?.at ?? Number.NaN];
  const near = nights.filter(({ at }) => at > start - SUN.nightWithinS && at < end + SUN.nightWithinS);
  const offs = near.map(aboveK).filter((off) => !Number.isNaN(off));
  return offs.length < SUN.nightReadings ? Number.NaN : median(offs);
}

const WARM = {
  /** Days above the forecast by so much more than the nights around are [K], both at their median. */
  aboveNightsK: 4,
  /** And above the forecast itself [K]: where only nights are off, it is cold air that gathers. */
  aboveK: 1.5,
  /** Under less cloud than this share of clear sky the sun warms nothing. */
  clear: 0.2,
  /** So many readings of the day, of so many days. */
  readings: 3,
  days: 2,
} as const;

/** Warmed by less, or where cold air gathers by night: told from the same sensor’s nights, over two days at least. */
function warmDays(days: readonly Sample[][], nights: readonly Sample[], unit: TemperatureUnit): Finding[] {
  const warm = days.flatMap((day) => {
    const sunny = day.filter((s) => !(s.clear < WARM.clear) && !Number.isNaN(aboveK(s)));
    const nightK = nightOffK(nights, day);
    const dayK = median(sunny.map(aboveK));
    const isWarm = dayK > WARM.aboveK && dayK - nightK > WARM.aboveNightsK;
    return sunny.length >= WARM.readings && isWarm ? [{ day, moreK: dayK - nightK }] : [];
  });
  if (warm.length < WARM.days) return [];
  const more = formatDifference(median(warm.map(({ moreK }) => moreK)), unit);
  const message = `By day it read about ${more} more above the forecast than by night: the sun reaches it. Move it into the shade; until then its days are left out.`;
  return [{ samples: warm.flatMap(({ day }) => day), message }];
}
