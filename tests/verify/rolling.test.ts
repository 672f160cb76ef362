/** Round after round: what a sensor that was wrong for a time has taught once all is over. */
import { describe, expect, it } from 'vitest';
import { learn, localRecord, pairsOf, type Evidence } from '../../src/verify/bias.ts';
import { judgeSensor } from '../../src/verify/sensor.ts';
import type { Measured } from '../../src/verify/truth.ts';
import { nightOf } from '../../src/weather/local-correction.ts';
import { seconds } from '../support/instants.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
/** Midnight in Denver. */
const START = seconds('2026-12-01T07:00:00Z');
const DENVER = { latitude: 39.7, longitude: -105, lie: 'bench', coldSpotK: 0, elevationM: null } as const;

const air = (at: number): number => -2 - 6 * Math.cos((2 * Math.PI * (at - START - 3 * HOUR)) / DAY);

/** A round every three hours over ten days, each with the 72 hours before it and the forecast 1.5 K too warm. */
function taught(valueC: (at: number, hour: number) => number) {
  let evidence: Evidence | null = null;
  for (let now = START + 6 * HOUR; now <= START + 10 * DAY; now += 3 * HOUR) {
    const firstHour = now - 72 * HOUR;
    const temperatureC = Array.from({ length: 96 }, (_, i) => air(firstHour + i * HOUR) + 1.5);
    const readings: Measured[] = [];
    for (let at = START; at <= now; at += HOUR)
      readings.push({ at, temperatureC: Math.round(10 * valueC(at, (at - START) / HOUR)) / 10 });
    const forecast = { firstHour, temperatureC };
    const night = nightOf(DENVER, firstHour, 96);
    const { doubts } = judgeSensor({ readings, of: 'outside', forecast, night, now, unit: 'C' });
    const believed = readings.filter((_, i) => doubts[i] === null);
    const doubted = readings.filter((_, i) => doubts[i] !== null).map(({ at }) => at);
    evidence = learn(evidence, { pairs: pairsOf(forecast, believed), doubted });
  }
  return localRecord(evidence!, [], START + 10 * DAY)!;
}

describe('ten days of rounds', () => {
  it('teach the bias from a sound sensor, each hour once', () => {
    const { biasK, readings } = taught(air);
    for (const b of biasK) expect(Math.abs(b - 1.5)).toBeLessThan(0.06);
    expect(readings.reduce((sum, n) => sum + n, 0)).toBe(241);
  });

  it.each([
    ['stuck for 20 hours', (at: number, hour: number) => (hour >= 60 && hour <= 80 ? -3.2 : air(at)), 21],
    [
      'in the sun on the fourth day',
      (at: number, hour: number) => air(at) + (hour >= 82 && hour <= 86 ? 12 : 0),
      9,
    ],
    ['jumping at times', (at: number, hour: number) => air(at) + (hour % 25 === 12 ? 15 : 0), 10],
  ])('teach the same from one that was %s, but for those hours', (_, valueC, hours) => {
    const { biasK, readings } = taught(valueC);
    for (const b of biasK) expect(Math.abs(b - 1.5)).toBeLessThan(0.06);
    expect(readings.reduce((sum, n) => sum + n, 0)).toBe(241 - hours);
  });
});
