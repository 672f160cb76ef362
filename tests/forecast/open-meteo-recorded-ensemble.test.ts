import { describe, expect } from 'vitest';
import { parseEnsemble, readEnsemble } from '../../src/forecast/open-meteo/ensemble-parse.ts';
import { parseLocation } from '../../src/forecast/open-meteo/parse.ts';
import type { Read } from '../../src/forecast/http/obtain.ts';
import { HOUR_S, parseInstant } from '../../src/quantity/instant.ts';
import { itWithShared } from '../shared-data.ts';
import { BERLIN, recording } from './open-meteo-setup.ts';

const START = parseInstant('2026-10-03T00:00:00Z')!;
const ASKED = {
  source: 'meteo',
  point: { ...BERLIN, latitude: 52.28, longitude: 6.88 },
  now: START,
  fetchedAt: START,
};

/** As recorded but for its times, which were asked for as local text and are whole hours of GMT. */
function inSeconds(name: string): unknown {
  const value = JSON.parse(recording(name)) as {
    hourly: Record<string, unknown>;
    hourly_units: Record<string, string>;
  };
  return {
    ...value,
    hourly_units: { ...value.hourly_units, time: 'unixtime' },
    hourly: { ...value.hourly, time: [START, START + HOUR_S] },
  };
}

function refusal(read: Read<unknown>): string {
  return read.ok ? 'none' : `${read.error.code}: ${read.error.message}`;
}

describe('ensemble-21-members.json', () => {
  itWithShared('OM-4: has a control and twenty numbered members with the values that stand in it', () => {
    const read = readEnsemble(inSeconds('ensemble-21-members.json'), ASKED);
    if (!read.ok) throw read.error;
    const { members, gridElevationM, firstHour } = read.value;
    expect([members.length, gridElevationM, firstHour]).toEqual([21, 29, START]);
    expect(members.map(({ number }) => number)).toEqual(Array.from({ length: 21 }, (_, i) => i));
    expect(members[0]!.temperatureC).toEqual([10.5, 10.1]);
    expect(members[1]!.temperatureC).toEqual([10.1, 9.8]);
    expect(members[14]!.temperatureC).toEqual([11.8, 11.3]);
    expect(members[20]!.temperatureC).toEqual([11.1, 10.8]);
  });

  itWithShared('X-3: as an ensemble of two hours is of no use', () => {
    expect(refusal(parseEnsemble(inSeconds('ensemble-21-members.json'), ASKED))).toContain(
      'forecast-empty: The source "meteo" knows no temperature beyond the next 72 hours',
    );
  });

  itWithShared('OM-10: in local text is refused', () => {
    const value = JSON.parse(recording('ensemble-21-members.json')) as unknown;
    expect(refusal(parseEnsemble(value, ASKED))).toMatch(/^source-units: .*time in "iso8601"/);
  });
});

describe('ensemble-mean-spread.json', () => {
  itWithShared('is neither a forecast nor an ensemble: a spread in K is no member', () => {
    const value = inSeconds('ensemble-mean-spread.json');
    const place = { ...ASKED, point: { ...ASKED.point, latitude: 52.25, longitude: 6.75 } };
    expect(refusal(parseLocation(value, place))).toMatch(/^source-units: .*which was not asked for/);
    expect(refusal(parseEnsemble(value, place))).toMatch(/^source-(body|units): /);
  });
});
