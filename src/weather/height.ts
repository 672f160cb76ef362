/** From the height that a forecast's temperatures are for to that of the place. */
import { SourceError } from '../errors.ts';
import type { Forecast } from './forecast.ts';
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
export function toHeightK({ gridElevationM }: Heights, elevationM: number | null): number {
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
  const shift = toHeightK(forecast, placeElevationM(forecast, spot));
  if (Math.abs(shift) > LAPSE_K_PER_M * FURTHEST_M) {
    const [grid, place] = [forecast.gridElevationM, placeElevationM(forecast, spot)].map((m) =>
      Math.round(m ?? 0),
    );
    throw new SourceError(
      'forecast-implausible',
      `${forecast.source}: its forecast is for ground at ${grid} m, the place lies at ${place} m: that is not one place.`,
      { hint: 'Check the coordinates and the elevation of the place, and whether it is given in m or ft.' },
    );
  }
  return shift > 0 && COLD_LIES.includes(spot.lie) ? 0 : shift;
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
  if (place === null)
    return [
      `The forecast is for ground at ${Math.round(grid)} m and the place’s height is not known: nothing is corrected for height. Give the place its elevation.`,
    ];
  const lapse = Math.round(10 * toHeightK(forecast, place)) / 10;
  if (lapse === 0) return [];
  const heights = `The forecast is for ground at ${Math.round(grid)} m, the place lies at ${Math.round(place)} m`;
  const difference = `${Math.abs(lapse)} K (${Math.round(18 * Math.abs(lapse)) / 10} °F)`;
  if (lapse < 0) return [`${heights}: ${difference} are taken off.`];
  return heightK(forecast, spot) === 0
    ? [
        `${heights}: the ${difference} by which it would be warmer are not added, since cold air gathers there or may.`,
      ]
    : [`${heights}: ${difference} are added.`];
}
