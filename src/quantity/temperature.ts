/** Temperatures and temperature differences. Two words for two things: a difference has no zero point. */
export type TemperatureUnit = 'C' | 'F';

export const ZERO_CELSIUS_K = 273.15;

export function fahrenheitToCelsius(temperatureF: number): number {
  return (temperatureF - 32) / 1.8;
}

export function celsiusToFahrenheit(temperatureC: number): number {
  return temperatureC * 1.8 + 32;
}

/** `14 °F` or `−10 °C`, whole degrees, with a true minus sign: for people. */
export function formatTemperature(temperatureC: number, unit: TemperatureUnit): string {
  const shown = Math.round(unit === 'F' ? celsiusToFahrenheit(temperatureC) : temperatureC);
  return `${shown < 0 ? '−' : ''}${Math.abs(shown)} °${unit}`;
}

/** Degree-hours below freezing in the reader's unit. */
export function formatDegreeHours(kelvinHours: number, unit: TemperatureUnit): string {
  return `${Math.round(unit === 'F' ? kelvinHours * 1.8 : kelvinHours)} °${unit}·h`;
}
