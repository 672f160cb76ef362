import type { Point } from '../source.ts';

/**
 * The address of one point's forecast. The service refuses more than four decimals, so that places near each other
 * share its caches. Without `altitude` it answers for the ground in its own map of heights, and says how high that is.
 */
export function forecastUrl(baseUrl: string, { latitude, longitude }: Point): URL {
  const url = new URL(baseUrl);
  url.pathname = `${url.pathname.replace(/\/+$/, '')}/weatherapi/locationforecast/2.0/complete`;
  const own = `lat=${decimals(latitude)}&lon=${decimals(longitude)}`;
  url.search = [url.search.slice(1), own].filter((part) => part !== '').join('&');
  return url;
}

function decimals(degrees: number): string {
  return String(Number(degrees.toFixed(4)));
}
