/** Which readings scores are made by. What a stuck or sunlit sensor is, tests/verify/sensor.test.ts holds. */
import { describe, expect, it } from 'vitest';
import { believedReadings } from '../../src/app/believed.ts';
import { loadConfig } from '../../src/config/load.ts';
import { seconds } from '../support/instants.ts';
import { keptLaw } from '../support/kept.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const START = seconds('2026-12-01T00:00:00Z');
const DAYS = 60;

const airC = (at: number): number => 2 + 4 * Math.cos((2 * Math.PI * (at / HOUR - 21)) / 24);
const KEPT = Array.from({ length: DAYS }, (_, day) => {
  const validDay = START + day * DAY;
  return keptLaw({ validDay, leadDay: 0, meanC: (hour) => airC(validDay + hour * HOUR), deviationK: 1 });
});

function believed(temperatureC: (at: number) => number) {
  const config = loadConfig(scenario(configOf({ units: [probeUnit()] }), {}).file);
  const readings = Array.from({ length: DAYS * 24 }, (_, i) => START + i * HOUR).map((at) => ({
    at,
    temperatureC: temperatureC(at),
  }));
  return believedReadings({ place: config.places[0]!, readings, kept: KEPT, temperature: 'C' });
}

describe('readings to score by', () => {
  it('are those of a sensor that follows the air, also of two months ago', () => {
    expect(believed((at) => airC(at) - 1)).toMatchObject({ doubted: 0, doubts: [] });
    expect(believed((at) => airC(at) - 1).readings).toHaveLength(DAYS * 24);
  });

  it('are not those in another unit, and each fault is said once', () => {
    const { readings, doubted, doubts } = believed((at) =>
      at < START + 50 * DAY ? airC(at) : airC(at) * 1.8 + 32,
    );
    expect(readings.every(({ at }) => at < START + 50 * DAY)).toBe(true);
    expect([readings.length, doubted]).toEqual([50 * 24, 10 * 24]);
    expect(doubts).toHaveLength(1);
    expect(doubts[0]).toMatch(/°F that were taken as °C/);
  });

  it('are none where there are none', () => {
    const { places } = loadConfig(scenario(configOf({ units: [probeUnit()] }), {}).file);
    const none = believedReadings({ place: places[0]!, readings: [], kept: KEPT, temperature: 'C' });
    expect(none).toEqual({ readings: [], doubted: 0, doubts: [] });
  });
});
