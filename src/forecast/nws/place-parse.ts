/** Degrees north and east. */
interface Spot {
  readonly latitude: number;
  readonly longitude: number;
}

/** A cell is 2.5 km wide; a frame wider than this [°] is none, or lies round the far side of the Earth. */
const WIDEST_CELL_DEG = 1;

/** Mean radius of the Earth [km] (IUGG). */
const EARTH_RADIUS_KM = 6371.0088;

/**
 * Whether a point lies in the polygon's frame or within once its size of it: cells are 2.5 km wide and slanted, and
 * offices have moved theirs. `ring`: longitude and latitude of each corner.
 */
export function liesNear(
  point: Spot,
  ring: readonly (readonly [longitude: number, latitude: number, ...more: number[]])[],
): boolean {
  const east = ring.map(([longitude]) => turn(longitude - point.longitude));
  const north = ring.map(([, latitude]) => latitude - point.latitude);
  return holdsZero(east) && holdsZero(north);
}

function holdsZero(offsets: readonly number[]): boolean {
  const least = Math.min(...offsets);
  const most = Math.max(...offsets);
  const size = most - least;
  return size <= WIDEST_CELL_DEG && least - size <= 0 && most + size >= 0;
}

/** An angle as −180 to 180°: the Aleutians lie on both sides of the date line. */
function turn(degrees: number): number {
  return ((((degrees + 180) % 360) + 360) % 360) - 180;
}

/** Great-circle distance [km] on a sphere, by the haversine formula. */
export function distanceKm(a: Spot, b: Spot): number {
  const rad = Math.PI / 180;
  const north = Math.sin(((b.latitude - a.latitude) * rad) / 2);
  const east = Math.sin(((b.longitude - a.longitude) * rad) / 2);
  const h = north ** 2 + Math.cos(a.latitude * rad) * Math.cos(b.latitude * rad) * east ** 2;
  return 2 * EARTH_RADIUS_KM * Math.asin(Math.min(1, Math.sqrt(h)));
}
