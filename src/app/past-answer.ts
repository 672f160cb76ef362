/** What services answered about the past, as it is kept. Pure. */
import type { ErrorModel, PlaceConfig } from '../config/config.ts';
import type { PastSeries } from '../forecast/open-meteo/past-parse.ts';
import { HOUR_S } from '../quantity/instant.ts';
import type { Truth } from '../store/measured.ts';
import { keptOfEarlierRuns } from '../verify/earlier-runs.ts';
import type { KeptForecast } from '../verify/kept-forecast.ts';
import { heightK } from '../weather/height.ts';
import type { PlaceEvaluation } from './evaluate-place.ts';

export interface PastAnswer {
  readonly place: PlaceConfig;
  /** Height of the ground at the place, as the service knows it [m]; null: unknown. */
  readonly groundElevationM: number | null;
  readonly source: string;
  readonly series: PastSeries;
}

export function observedTruths(places: readonly PlaceEvaluation[]): Truth[] {
  return places.flatMap(({ place, observation }) => {
    if (observation === null) return [];
    const { station: name, at, temperatureC } = observation;
    return [{ place: place.id, kind: 'station' as const, name, at, temperatureC }];
  });
}

/** Hour by hour, unknown ones too: who writes them leaves those out. @throws SourceError */
export function pastTruths(answer: PastAnswer): Truth[] {
  const [series = []] = atPlace(answer);
  const { place, source: name } = answer;
  return series.map((temperatureC, i) => {
    const at = answer.series.firstHour + i * HOUR_S;
    return { place: place.id, kind: 'archive' as const, name, at, temperatureC };
  });
}

/** Under a name of its own: it is the service's forecast without any correction but that of height. @throws SourceError */
export function earlierForecasts(answer: PastAnswer, errorModel: ErrorModel): KeptForecast[] {
  const { place, source, series } = answer;
  const byLeadC = atPlace(answer);
  const runs = { place: place.id, source: earlierName(source), firstHour: series.firstHour, byLeadC };
  return keptOfEarlierRuns(runs, errorModel.kind === 'none' ? null : errorModel);
}

export function earlierName(source: string): string {
  return `${source} (earlier runs)`;
}

/** Brought to the height of the place as forecasts are. */
function atPlace({ place, groundElevationM, source, series }: PastAnswer): number[][] {
  const heights = {
    source,
    ...(series.gridElevationM === null ? {} : { gridElevationM: series.gridElevationM }),
    ...(groundElevationM === null ? {} : { groundElevationM }),
  };
  const warmerK = heightK(heights, place);
  return series.temperaturesC.map((values) => values.map((t) => t + warmerK));
}
