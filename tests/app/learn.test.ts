/** What a place's readings teach of one source: of which hours, and for how long. By hand from the rules said. */
import { describe, expect, it } from 'vitest';
import { NOTHING_KNOWN, type PlaceKnowledge } from '../../src/app/knowledge.ts';
import { learnFrom } from '../../src/app/learn.ts';
import type { Spot } from '../../src/weather/local-correction.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { withPast, type KeptHour } from '../../src/weather/past.ts';
import { BENCH, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const HOUR = 3600;
const HOURS = Array.from({ length: 24 }, (_, i) => i - 23);

/** A day of kept hours of 10 °C, then two days of the source's own 3 °C. */
function taught(source: string, knowledge: Partial<PlaceKnowledge>, spot: Spot = BENCH) {
  const past = HOURS.slice(0, -1).map((hour): KeptHour => ({
    hour: MIDNIGHT + hour * HOUR,
    temperatureC: 10,
    windSpeedMps: 0,
    cloudPercent: 0,
    soilTemperatureC: null,
    gridElevationM: null,
    source,
  }));
  const own = { temperatureC: new Array<number>(49).fill(3) };
  const forecast = withPast(madeForecast([own]), past, spot);
  const outlook = outlookOf(requestFor(forecast, { spot }));
  const known = { ...NOTHING_KNOWN, readings: READINGS, ...knowledge };
  return learnFrom({ outlook, spot, knowledge: known, now: MIDNIGHT, temperature: 'C' });
}

const READINGS = HOURS.map((hour) => ({
  place: 'creek',
  unit: null,
  zone: 'outside',
  at: MIDNIGHT + hour * HOUR,
  // One value for a day would be a sensor that is stuck.
  temperatureC: hour % 2 === 0 ? 1 : 1.2,
  origin: 'http' as const,
}));

/** To the kelvin. */
function errors(source: string): number[] {
  return taught(source, {})!.lesson.evidence.open.map(({ errorK }) => Math.round(errorK));
}

describe('hours that a source is held to', () => {
  it('are those kept of it, and its own', () => {
    expect(errors('meteo')).toEqual([...new Array<number>(23).fill(9), 2]);
  });

  it('are not those kept of another', () => {
    expect(errors('nws')).toEqual([2]);
  });
});

describe('a lesson', () => {
  const { lesson } = taught('meteo', {})!;
  /** As a later round knows it, with no new reading. */
  const later = (spot: Spot) =>
    taught('meteo', { readings: READINGS.slice(-1), lessons: new Map([['meteo', lesson]]) }, spot)!;

  it('stays with a place that is as it was, unsaid', () => {
    expect(later({ ...BENCH }).lesson.evidence).toEqual(lesson.evidence);
    expect(later({ ...BENCH }).remarks).toEqual([]);
  });

  it.each<[string, Partial<Spot>]>([
    ['lie', { lie: 'hollow' }],
    ['cold spot', { coldSpotK: 1 }],
    ['height', { elevationM: 1600 }],
    ['latitude', { latitude: 39.8 }],
    ['longitude', { longitude: -105.1 }],
  ])('is begun anew where the %s was changed, and that is said once', (_, change) => {
    const spot = { ...BENCH, ...change };
    const begun = later(spot);
    expect(begun.lesson.evidence.open).toHaveLength(1);
    expect(begun.remarks.join()).toContain('begun anew');
    const lessons = new Map([['meteo', begun.lesson]]);
    expect(taught('meteo', { readings: READINGS.slice(-1), lessons }, spot)!.remarks).toEqual([]);
  });
});
