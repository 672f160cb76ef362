/**
 * The decaying average in air that is real: Newark through 2013, `shared/data/hourly` (ASOS, CC0). The forecast is the
 * airport itself, too warm by 3 K by night and too cold by 1 K by day, with errors of the stated law.
 */
import { describe, expect } from 'vitest';
import { learn, localRecord, pairsOf, type Evidence } from '../../src/verify/bias.ts';
import { errorScores } from '../../src/verify/scores.ts';
import { itWithShared } from '../shared-data.ts';
import { normal } from '../support/kept.ts';
import { Random } from '../support/random.ts';
import { airportHours, seriesOf } from '../support/station-hours.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;

/** [K] at an hour of the UTC day: local midnight is 05:00. */
function biasAt(at: number): number {
  return 1 + 2 * Math.cos((2 * Math.PI * (at / HOUR - 8)) / 24);
}

describe('readings of a thermometer at the place', () => {
  itWithShared('take a bias that is another by night than by day off the forecast', () => {
    const random = new Random(8);
    const readings = airportHours('EWR').slice(0, 150 * 24);
    const { firstHour, temperatureC } = seriesOf(readings);
    const kept = Math.exp(-1 / 36);
    let z = normal(random);
    const forecast = {
      firstHour,
      temperatureC: temperatureC.map((t, i) => {
        z = kept * z + Math.sqrt(1 - kept * kept) * normal(random);
        return t + biasAt(firstHour + i * HOUR) + 1.15 * z;
      }),
    };
    let evidence: Evidence | null = null;
    const before: number[] = [];
    const after: number[] = [];
    for (let day = 0; day < 149; day++) {
      const since = firstHour + day * DAY;
      const today = readings.filter(({ at }) => at >= since && at < since + DAY);
      const record = evidence === null ? null : localRecord(evidence, [], since);
      // A round looks at its last 72 hours each time.
      const pairs = pairsOf(
        forecast,
        readings.filter(({ at }) => at >= since - 2 * DAY && at < since + DAY),
      );
      if (day >= 60)
        for (const { at, errorK } of pairsOf(forecast, today)) {
          before.push(errorK);
          after.push(errorK - (record?.biasK[(at / HOUR) % 24] ?? 0));
        }
      evidence = learn(evidence, { pairs });
    }
    const [raw, corrected] = [errorScores(before), errorScores(after)];
    // √(1 + 2²/2 + 1.15²) = 2.08 before; the law's own 1.15 is what no average takes off.
    expect(Math.abs(raw.rmseK - 2.08)).toBeLessThan(0.2);
    expect(corrected.rmseK).toBeLessThan(1.35);
    expect(Math.abs(corrected.biasK)).toBeLessThan(0.25);
    const record = localRecord(evidence!, [], readings.at(-1)!.at)!;
    // At a weight of 0.02 and a memory of 36 h the average itself wavers by about 0.2 K: three of that.
    record.biasK.forEach((biasK, hour) => expect(Math.abs(biasK - biasAt(hour * HOUR))).toBeLessThan(0.6));
    expect(Math.min(...record.readings)).toBeGreaterThan(45);
  });
});
