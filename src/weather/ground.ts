/**
 * The ground under a skirted unit. Soil follows the air above it with a lag of days: of the daily swing next to
 * nothing comes through, of a cold spell part, of the year nearly all.
 */
import { HOUR_S } from '../quantity/instant.ts';

/** Without a soil temperature the ground is taken at this, or colder: cautious. Engineering estimate. */
const ASSUMED_GROUND_C = 0;
/**
 * Time constants [h], engineering estimates: of covered ground behind open ground at the depth that forecasts give
 * (0 to 10 cm), and of covered ground behind the air.
 */
const BEHIND_SOIL_H = 48;
const BEHIND_AIR_H = 120;
/** The start is in balance with the mean of so many hours. */
const START_H = 24;

export interface GroundWeather {
  /** By hour [°C]. */
  readonly temperatureC: Float64Array;
  /** By hour [°C]; NaN where unknown. */
  readonly soilTemperatureC: Float64Array;
}

/** Ground temperature by hour [°C]: the soil's, lagged; where that is missing, that of the air, at most 0 °C. */
export function groundUnder({ temperatureC, soilTemperatureC }: GroundWeather): Float64Array {
  const fromAir = lagged(temperatureC, BEHIND_AIR_H);
  if (soilTemperatureC.every(Number.isNaN)) return fromAir.map(capped);
  const known = soilTemperatureC.map((soil, i) => (Number.isNaN(soil) ? capped(fromAir[i] ?? 0) : soil));
  return lagged(known, BEHIND_SOIL_H);
}

function capped(groundC: number): number {
  return Math.min(ASSUMED_GROUND_C, groundC);
}

/** First-order lag of hourly values that are linear in between, exact at the hours. */
function lagged(values: Float64Array, timeConstantH: number): Float64Array {
  const first = values.subarray(0, START_H);
  let state = first.reduce((sum, v) => sum + v, 0) / Math.max(1, first.length);
  const tau = timeConstantH * HOUR_S;
  const decay = Math.exp(-HOUR_S / tau);
  return values.map((to, i) => {
    const from = values[i - 1];
    if (from === undefined) return state;
    const slope = (to - from) / HOUR_S;
    state = to - slope * tau + (state - from + slope * tau) * decay;
    return state;
  });
}
