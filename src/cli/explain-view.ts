/** What every piece of the explanation's text is made from. */
import type { ExplainAnswer } from '../app/explain-answer.ts';
import { wrap } from '../message/wrap.ts';
import { HOUR_S, parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import { formatNear } from '../quantity/local-time.ts';
import { formatDegreeHours, formatTemperature, type TemperatureUnit } from '../quantity/temperature.ts';

export interface ExplainDisplay {
  readonly temperature: TemperatureUnit;
  readonly timeZone: string;
}

export interface ExplainView {
  readonly answer: ExplainAnswer;
  readonly display: ExplainDisplay;
}

export type PartAnswer = ExplainAnswer['parts'][number];

/** Columns of the terminal. */
const COLUMNS = 80;

export function sentences(text: string): string {
  return wrap(text, { first: '', rest: '', width: COLUMNS });
}

export function items(texts: readonly string[]): string {
  return texts.map((text) => wrap(text, { first: '- ', rest: '  ', width: COLUMNS })).join('\n');
}

/** Short within a week of the answer's own time; of an instant, or of its ISO form. */
export function near(at: string | EpochSeconds, { answer, display }: ExplainView): string {
  const instant = typeof at === 'string' ? instantOf(at) : at;
  return formatNear(instant, instantOf(answer.asOf), display.timeZone);
}

export function degrees(temperatureC: number | undefined, { display }: ExplainView): string {
  return temperatureC === undefined ? 'unknown' : formatTemperature(temperatureC, display.temperature);
}

export function cold(kelvinHours: number, { display }: ExplainView): string {
  return formatDegreeHours(kelvinHours, display.temperature);
}

export function instantOf(iso: string | undefined): EpochSeconds {
  return parseInstant(iso ?? '') ?? Number.NaN;
}

/** Index of the first hour that is not over yet. */
export function firstHourAhead({ answer }: ExplainView): number {
  const first = instantOf(answer.hours.time[0]);
  const hour = Math.ceil((instantOf(answer.asOf) - first) / HOUR_S);
  return Math.min(Math.max(0, hour), answer.hours.time.length - 1);
}

/** The hour from now on, and not after `until`, at which a series of hourly values is lowest. */
export function coldestHour(
  values: readonly number[],
  { from, until }: { from: number; until: number },
): number {
  let coldest = from;
  for (let hour = from; hour <= Math.min(until, values.length - 1); hour++) {
    if ((values[hour] ?? Infinity) < (values[coldest] ?? Infinity)) coldest = hour;
  }
  return coldest;
}

/** Most of the cold that it can take until it is blocked, from now on; a part without water takes none. */
export function shareUsed(part: PartAnswer): number {
  return part.holdsWater ? part.mostUsedKelvinHours / part.budgetKelvinHours.blocked : 0;
}

/** The parts that ice in them could break, the one nearest to its limit first. */
export function nearestToLimit({ answer }: ExplainView): readonly PartAnswer[] {
  const blockedAt = (part: PartAnswer): EpochSeconds =>
    part.blockedAt === null ? Infinity : instantOf(part.blockedAt);
  return answer.parts
    .filter((part) => part.holdsWater && !part.headroom)
    .toSorted((x, y) => {
      const [a, b] = [blockedAt(x), blockedAt(y)];
      return a === b ? shareUsed(y) - shareUsed(x) : a - b;
    });
}

/** The part of that id; undefined where nothing is named. */
export function partOf(id: string | undefined, { answer }: ExplainView): PartAnswer | undefined {
  return answer.parts.find((part) => part.id === id);
}
