/** The weather that nights really had: from which truth, when enough of it is known, and as of which spot. */
import { describe, expect, it } from 'vitest';
import { trueNights, type TrueWeather } from '../../src/app/true-nights.ts';
import type { PlaceConfig } from '../../src/config/config.ts';
import { loadConfig } from '../../src/config/load.ts';
import type { Measured } from '../../src/verify/truth.ts';
import { iso, seconds } from '../support/instants.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';

const HOUR = 3600;
const NOON = seconds('2026-12-01T19:00:00Z');
const NIGHT = { noon: NOON, evening: NOON + 6 * HOUR, end: NOON + 24 * HOUR };

function place(over: object = {}): PlaceConfig {
  const creek = {
    id: 'creek',
    latitude: 39.61,
    longitude: -106.05,
    timeZone: 'America/Denver',
    lie: 'bench',
  };
  const config = configOf({ units: [probeUnit()], places: [{ ...creek, ...over }] });
  return loadConfig(scenario(config, {}).file).places[0]!;
}

/** So many hours from that one on, counted from noon. */
function hours(from: number, count: number, valueC = 1): Measured[] {
  return Array.from({ length: count }, (_, i) => ({ at: NOON + (from + i) * HOUR, temperatureC: valueC }));
}

function outlookOf(measured: Partial<TrueWeather['measured']>, more: Partial<TrueWeather> = {}) {
  const nothing = { readings: [], station: [], archive: [] };
  const weather = { place: place(), past: [], ...more, measured: { ...nothing, ...measured } };
  return trueNights(weather, [NIGHT])[0]!.outlook;
}

describe('the true weather of a night', () => {
  it('begins 72 h before it, as far as it is known', () => {
    const outlook = outlookOf({ archive: hours(-100, 140) });
    expect([iso(outlook!.firstHour), outlook!.hours]).toEqual(['2026-11-28T19:00:00Z', 97]);
    const short = outlookOf({ archive: hours(-5, 40) });
    expect(short!.firstHour).toBe(NOON - 5 * HOUR);
  });

  it('is unknown with fewer than twenty of its hours', () => {
    const every = (left: readonly number[]): Measured[] =>
      hours(-10, 40).filter(({ at }) => !left.includes((at - NOON) / HOUR));
    // Holes of two hours are bridged.
    expect(outlookOf({ archive: every([3, 4, 8, 9]) })).not.toBeNull();
    expect(outlookOf({ archive: every([3, 4, 8, 9, 13]) })).toBeNull();
  });

  it('is unknown behind a hole of three hours, in which anything may have come', () => {
    expect(
      outlookOf({
        archive: hours(-10, 40).filter(({ at }) => at < NOON + 9 * HOUR || at >= NOON + 12 * HOUR),
      }),
    ).toBeNull();
    expect(outlookOf({ archive: hours(-10, 33) })).toBeNull();
    expect(outlookOf({ archive: hours(-10, 34) })).not.toBeNull();
    expect(outlookOf({ archive: hours(4, 30) })).toBeNull();
  });

  it('is that of the place’s readings, else of the archive, else of the station', () => {
    const [readings, archive, station] = [hours(-10, 40, 1), hours(-10, 40, 2), hours(-10, 40, 3)];
    const firstC = (measured: Partial<TrueWeather['measured']>): number =>
      outlookOf(measured)!.members[0]!.temperatureC[0]!;
    expect(firstC({ readings, archive, station })).toBe(1);
    expect(firstC({ readings: readings.slice(0, 20), archive, station })).toBe(2);
    expect(firstC({ station })).toBe(3);
  });

  it('is colder in a hollow than the archive says, and not than a thermometer that stands in it', () => {
    const hollow = place({ lie: 'hollow', coldSpot: '1 K' });
    const calm = Array.from({ length: 140 }, (_, i) => ({
      hour: NOON + (i - 100) * HOUR,
      source: 'meteo',
      temperatureC: 0,
      windSpeedMps: 0,
      cloudPercent: 0,
      soilTemperatureC: null,
      gridElevationM: null,
    }));
    const all = hours(-100, 140, 1);
    const midnight = (measured: Partial<TrueWeather['measured']>): number =>
      outlookOf(measured, { place: hollow, past: calm })!.members[0]!.temperatureC[72 + 12]!;
    // The user's 1 K, and 4 K that gather in a hollow on a clear calm night (src/weather/local-correction.ts).
    expect(midnight({ archive: all })).toBeCloseTo(1 - 5, 6);
    expect(midnight({ readings: all })).toBe(1);
  });

  it('has the wind that forecasts had for its hours', () => {
    const past = [
      {
        hour: NOON,
        source: 'meteo',
        temperatureC: 0,
        windSpeedMps: 7,
        cloudPercent: null,
        soilTemperatureC: null,
        gridElevationM: null,
      },
    ];
    const { windSpeedMps } = outlookOf({ archive: hours(-100, 140) }, { past })!.members[0]!;
    expect(windSpeedMps[72]).toBe(7);
    // Unknown wind is taken as everywhere.
    expect(windSpeedMps[73]).toBe(4);
  });

  it('is of whole hours where noon is not one: Adelaide, UTC+10:30 in summer', () => {
    const noon = seconds('2026-12-01T01:30:00Z');
    const night = { noon, evening: noon + 6 * HOUR, end: noon + 24 * HOUR };
    const archive = Array.from({ length: 110 }, (_, i) => ({
      at: noon - 1800 + (i - 80) * HOUR,
      temperatureC: 1,
    }));
    const measured = { readings: [], station: [], archive };
    const [found] = trueNights({ place: place(), past: [], measured }, [night]);
    expect(iso(found!.outlook!.firstHour)).toBe('2026-11-28T01:00:00Z');
  });
});
