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
  temperatureC: 1,
  origin: 'http' as const,
}));

describe('hours that a source is held to', () => {
  it('are those kept of it, and its own', () => {
    expect(taught('meteo', {})!.lesson.evidence.open.map(({ errorK }) => errorK)).toEqual([
      ...new Array<number>(23).fill(9),
      2,
    ]);
  });

  it('are not those kept of another', () => {
    expect(taught('nws', {})!.lesson.evidence.open.map(({ errorK }) => errorK)).toEqual([2]);
  });
});
