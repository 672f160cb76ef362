/** Temperatures and temperature differences. Two words for two things: a difference has no zero point. */
export type TemperatureUnit = 'C' | 'F';

function celsiusToFahrenheit(temperatureC: number): number {
  return temperatureC * 1.8 + 32;
}

/** `14 °F` or `−10 °C`, whole degrees, with a true minus sign: for people. */
export function formatTemperature(temperatureC: number, unit: TemperatureUnit): string {
  // Halves go to the colder degree. + 0 turns −0 into 0.
  const shown = -Math.round(-(unit === 'F' ? celsiusToFahrenheit(temperatureC) : temperatureC)) + 0;
  return `${shown < 0 ? '−' : ''}${Math.abs(shown)} °${unit}`;
}

/** Degree-hours below freezing in the reader's unit. */
export function formatDegreeHours(kelvinHours: number, unit: TemperatureUnit): string {
  return `${Math.round(unit === 'F' ? kelvinHours * 1.8 : kelvinHours)} °${unit}·h`;
}

/** A difference without its sign: `7 °F`, `3.6 °F`; tenths only below ten. It has no zero point: 2 K are 3.6 °F. */
export function formatDifference(kelvin: number, unit: TemperatureUnit): string {
  const shown = Math.abs(unit === 'F' ? kelvin * 1.8 : kelvin);
  return `${shown < 10 ? Math.round(10 * shown) / 10 : Math.round(shown)} °${unit}`;
}
