/** From the height that a forecast's temperatures are for to that of the place. */
import { SourceError } from '../errors.ts';
import type { Forecast, ForecastMember } from './forecast.ts';
import type { Spot } from './local-correction.ts';

/** ICAO standard atmosphere (Doc 7488): air cools by 6.5 K per kilometre of height. */
const LAPSE_K_PER_M = 0.0065;
/**
 * Cells of 25 km in high mountains lie some 1,000 m off single valleys. Further apart, the coordinates or a height are
 * wrong (feet given as metres). Engineering estimate.
 */
const FURTHEST_M = 1500;
/** Where cold air gathers, lower ground is not warmer on the nights that matter. */
const COLD_LIES: readonly string[] = ['hollow', 'valley', 'unknown'];

/** What a service says of the heights that its answer is for. */
type Heights = Pick<Forecast, 'source' | 'gridElevationM' | 'groundElevationM'>;

/** Height of the ground at the place [m]: the user's, or else what the service knows; null: unknown. */
function placeElevationM(forecast: Heights, spot: Spot): number | null {
  return spot.elevationM ?? forecast.groundElevationM ?? null;
}

/** How much warmer it is at a height than in the forecast's cell [K], by height alone; 0 where one is not known. */
function toHeightK({ gridElevationM }: Heights, elevationM: number | null): number {
  return gridElevationM === undefined || elevationM === null
    ? 0
    : LAPSE_K_PER_M * (gridElevationM - elevationM);
}

/**
 * What to add for the place's height [K]: nothing that would warm a place where cold air gathers.
 *
 * @throws SourceError `forecast-implausible` when the heights lie too far apart.
 */
export function heightK(forecast: Heights, spot: Spot): number {
  if (isElsewhere(forecast, spot)) {
    const [grid, place] = [forecast.gridElevationM, placeElevationM(forecast, spot)].map((m) =>
      Math.round(m ?? 0),
    );
    throw new SourceError(
      'forecast-implausible',
      `${forecast.source}: its forecast is for ground at ${grid} m, the place lies at ${place} m: that is not one place.`,
      { hint: 'Check the coordinates and the elevation of the place, and whether it is given in m or ft.' },
    );
  }
  return neverWarmingK(forecast, spot);
}

/** As `heightK`, of heights that may be of another time than the place's. */
export function neverWarmingK(forecast: Heights, spot: Spot): number {
  const shift = toHeightK(forecast, placeElevationM(forecast, spot));
  return shift > 0 && COLD_LIES.includes(spot.lie) ? 0 : shift;
}

function isElsewhere(forecast: Heights, spot: Spot): boolean {
  return Math.abs(toHeightK(forecast, placeElevationM(forecast, spot))) > LAPSE_K_PER_M * FURTHEST_M;
}

/**
 * The heights of an ensemble's own grid cell and of the place, or where that is not known, of the single forecast's
 * cell. Null: of the forecast itself.
 */
export function heightsOf(forecast: Heights, gridElevationM: number | null): Heights {
  if (gridElevationM === null) return forecast;
  const groundElevationM = forecast.groundElevationM ?? forecast.gridElevationM;
  return {
    source: forecast.source,
    gridElevationM,
    ...(groundElevationM !== undefined && { groundElevationM }),
  };
}

/** Ensembles of coarse grids may lie too far off a mountain: they are left out, and said. */
export function withoutFarCells(
  forecast: Forecast,
  spot: Spot,
): { readonly forecast: Forecast; readonly sentences: readonly string[] } {
  const isFar = ({ gridElevationM }: ForecastMember): boolean =>
    gridElevationM !== undefined && isElsewhere(heightsOf(forecast, gridElevationM), spot);
  const far = forecast.members.filter(isFar);
  if (far.length === 0) return { forecast, sentences: [] };
  const sentences = cellsOf(far).map(
    ({ model, gridElevationM }) =>
      `The ensemble ${model} is for ground at ${Math.round(gridElevationM)} m, more than ${FURTHEST_M} m off the place, and is left out.`,
  );
  return { forecast: { ...forecast, members: forecast.members.filter((m) => !isFar(m)) }, sentences };
}

/** Ensembles with a cell of their own, once each. */
function cellsOf(members: readonly ForecastMember[]): { model: string; gridElevationM: number }[] {
  const cells = members.flatMap(({ model, gridElevationM }) =>
    model === undefined || gridElevationM === undefined ? [] : [[model, gridElevationM] as const],
  );
  return [...new Map(cells)].map(([model, gridElevationM]) => ({ model, gridElevationM }));
}

/** What was done about the height: full sentences. A user's own file is taken as one for the place. */
export function heightSentences(forecast: Forecast, spot: Spot, ofService: boolean): string[] {
  const [grid, place] = [forecast.gridElevationM, placeElevationM(forecast, spot)];
  if (grid === undefined)
    return ofService
      ? [
          'The service does not tell the height that its temperatures are for: nothing is corrected for height.',
        ]
      : [];
  const ensembles = cellsOf(forecast.members).flatMap(({ model, gridElevationM }) =>
    doneFor(`The ensemble ${model}`, heightsOf(forecast, gridElevationM), spot),
  );
  if (place === null)
    return [
      `The forecast is for ground at ${Math.round(grid)} m and the place’s height is not known: nothing is corrected for height. Give the place its elevation.`,
      ...ensembles,
    ];
  return [...doneFor('The forecast', forecast, spot), ...ensembles];
}

function doneFor(what: string, heights: Heights, spot: Spot): string[] {
  const place = placeElevationM(heights, spot);
  const lapse = Math.round(10 * toHeightK(heights, place)) / 10;
  if (lapse === 0) return [];
  const both = `${what} is for ground at ${Math.round(heights.gridElevationM ?? 0)} m, the place lies at ${Math.round(place ?? 0)} m`;
  const difference = `${Math.abs(lapse)} K (${Math.round(18 * Math.abs(lapse)) / 10} °F)`;
  if (lapse < 0) return [`${both}: ${difference} are taken off.`];
  return neverWarmingK(heights, spot) === 0
    ? [
        `${both}: the ${difference} by which it would be warmer are not added, since cold air gathers there or may.`,
      ]
    : [`${both}: ${difference} are added.`];
}
