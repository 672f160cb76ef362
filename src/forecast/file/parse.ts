import { HOUR_S, isoSecond, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast, ForecastMember } from '../../weather/forecast.ts';
import { readCsv } from './csv.ts';
import { readJson } from './json.ts';
import { seriesMistake, type Series, type SeriesMember } from './series.ts';

/** More than four and a half years of hours. */
const MAX_HOURS = 40_000;

/** Hours times members: what fits into memory without a thought. */
const MAX_VALUES = 8_000_000;

export interface SeriesFile {
  /** Name to be shown; its ending says the format. */
  readonly file: string;
  readonly text: string;
}

/**
 * Turns the text of a series file into a forecast. An hour that the file leaves out, or one that only another
 * member has, is unknown. Throws a `SourceError` that says where the mistake is.
 */
export function parseSeriesFile(
  { file, text }: SeriesFile,
  asked: { readonly source: string; readonly fetchedAt: EpochSeconds },
): Forecast {
  const series = isJson(file, text) ? readJson(text, file) : readCsv(text, file);
  const { firstHour, hours } = commonAxis(series, file);
  return {
    source: asked.source,
    attribution: null,
    issuedAt: series.issuedAt,
    fetchedAt: asked.fetchedAt,
    firstHour,
    whole: true,
    members: series.members.map((member) => placeMember(member, firstHour, hours)),
  };
}

function isJson(file: string, text: string): boolean {
  const ending = /\.(csv|json)$/i.exec(file)?.[1]?.toLowerCase();
  return ending === undefined ? /^\uFEFF?\s*\{/.test(text) : ending === 'json';
}

function commonAxis(series: Series, file: string): { firstHour: EpochSeconds; hours: number } {
  let firstHour = Infinity;
  let last = -Infinity;
  for (const { times } of series.members) {
    firstHour = Math.min(firstHour, times[0] ?? Infinity);
    last = Math.max(last, times.at(-1) ?? -Infinity);
  }
  const hours = (last - firstHour) / HOUR_S + 1;
  const span = `${isoSecond(firstHour)} to ${isoSecond(last)}`;
  if (hours > MAX_HOURS) {
    throw seriesMistake({ file, at: 1 }, `a series may span at most ${MAX_HOURS} hours`, span);
  }
  if (hours * series.members.length > MAX_VALUES) {
    const found = `${hours} hours of ${series.members.length} members`;
    throw seriesMistake({ file, at: 1 }, `hours times members may be at most ${MAX_VALUES}`, found);
  }
  return { firstHour, hours };
}

function placeMember(member: SeriesMember, firstHour: EpochSeconds, hours: number): ForecastMember {
  const place = (values: readonly number[]): readonly number[] => {
    const placed = new Array<number>(hours).fill(Number.NaN);
    member.times.forEach((time, index) => {
      placed[(time - firstHour) / HOUR_S] = values[index] ?? Number.NaN;
    });
    return placed;
  };
  const placeOrNull = (values: readonly number[] | null): readonly number[] | null =>
    values === null || values.every(Number.isNaN) ? null : place(values);
  return {
    weight: member.weight,
    temperatureC: place(member.temperatureC),
    windSpeedMps: placeOrNull(member.windSpeedMps),
    cloudPercent: placeOrNull(member.cloudPercent),
    soilTemperatureC: null,
  };
}
