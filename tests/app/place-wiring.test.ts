/** What a round believes of services and keeps of a place, one step at a time. */
import { describe, expect, it } from 'vitest';
import { evaluatePlace, type PlaceQuestion } from '../../src/app/evaluate-place.ts';
import { NOTHING_KNOWN } from '../../src/app/knowledge.ts';
import { placeCommits } from '../../src/app/place-commit.ts';
import { believed } from '../../src/app/voices.ts';
import { parseConfig } from '../../src/config/parse.ts';
import type { Gathered, Voice } from '../../src/forecast/gather.ts';
import type { Alert } from '../../src/weather/alert.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { SourceError } from '../../src/errors.ts';
import { seconds } from '../support/instants.ts';
import { configOf, probeUnit } from '../support/scenario.ts';

const HOUR = 3600;
const NOW = seconds('2026-01-05T12:20:00Z');
const FIRST = seconds('2026-01-02T00:00:00Z');
const HOURS = 8 * 24;

const WARNING: Alert = {
  event: 'KARX.FZ.W.0001',
  title: 'Freeze Warning',
  issuer: 'NWS La Crosse WI',
  headline: null,
  sentAt: NOW - HOUR,
  onsetAt: null,
  endsAt: NOW + HOUR,
};

function voice(source: string, airC: (hour: number) => number, more: Partial<Voice> = {}): Voice {
  const hours = <T>(of: (hour: number) => T): T[] => Array.from({ length: HOURS }, (_, hour) => of(hour));
  const forecast: Forecast = {
    source,
    attribution: `Data of ${source}`,
    issuedAt: NOW - HOUR,
    fetchedAt: NOW,
    firstHour: FIRST,
    whole: false,
    members: [
      {
        weight: 1,
        temperatureC: hours(airC),
        windSpeedMps: hours((hour) => (hour === 80 ? Number.NaN : 5)),
        cloudPercent: hours(() => 40),
        soilTemperatureC: null,
      },
    ],
  };
  return { ok: true, forecast, ...more };
}

const swing = (off: number) => (hour: number) => 3 + off - 5 * Math.cos((2 * Math.PI * (hour - 22)) / 24);

const PLACE = {
  id: 'creek',
  latitude: 39.61,
  longitude: -106.05,
  elevation: '2760 m',
  timeZone: 'America/Denver',
  lie: 'bench',
} as const;

const CONFIG = parseConfig(
  JSON.stringify({
    ...configOf({ units: [probeUnit()], places: [PLACE] }),
    weather: {
      contact: 'ann@example.org',
      sources: [
        { id: 'meteo', kind: 'open-meteo', baseUrl: 'http://127.0.0.1:1' },
        { id: 'us', kind: 'nws', baseUrl: 'http://127.0.0.1:1' },
        { id: 'norway', kind: 'met-norway', baseUrl: 'http://127.0.0.1:1' },
      ],
    },
  }),
  { file: 'my.yaml', resolvePath: (path) => path },
);

function heard(first: Voice, ...others: Voice[]): Gathered {
  return { ok: true, forecast: first.forecast, voice: first, others, errors: [] };
}

function evaluated(gathered: Gathered, more: Partial<PlaceQuestion> = {}) {
  return evaluatePlace(CONFIG.places[0]!, {
    config: CONFIG,
    now: NOW,
    gathered,
    knowledge: NOTHING_KNOWN,
    ...more,
  });
}

describe('of several services', () => {
  const spot = { spot: CONFIG.places[0]!, now: NOW };

  it('a warm one that two others speak against is not believed, and that is said and kept for the log', () => {
    const {
      voice: chosen,
      sentences,
      refused,
    } = believed([voice('meteo', swing(12)), voice('us', swing(0)), voice('norway', swing(1))], spot);
    expect(chosen.forecast.source).toBe('us');
    expect(refused.map(({ code }) => code)).toEqual(['forecast-implausible']);
    expect(sentences.join(' ')).toContain(refused[0]!.message);
  });

  it('of two that contradict each other the colder is believed', () => {
    const pair = [voice('meteo', swing(10)), voice('us', swing(0))] as const;
    expect(believed([...pair], spot).voice.forecast.source).toBe('us');
    expect(believed([pair[1], pair[0]], spot).voice.forecast.source).toBe('us');
  });

  it('warnings and credits are those of all that were heard, and a remark says of whom it is', () => {
    const place = evaluated(
      heard(
        voice('meteo', swing(0)),
        voice('us', swing(0), { alerts: [WARNING], remarks: ['The answer does not say where it lies.'] }),
      ),
    );
    expect(place.outlook?.source).toBe('meteo');
    expect(place.alerts).toEqual([WARNING]);
    expect(place.attributions).toEqual(['Data of meteo', 'Data of us']);
    expect(place.outlook?.assumptions).toContain('us: The answer does not say where it lies.');
  });

  it('warnings stay though their service has no forecast, and a far station is none of the place', () => {
    const observation = { station: 'KDEN', at: NOW, temperatureC: 20, distanceKm: 81 };
    const place = evaluated({
      ok: true,
      forecast: voice('meteo', swing(0)).forecast,
      voice: voice('meteo', swing(0), { observation }),
      others: [],
      errors: [new SourceError('source-http', 'The service is down.')],
      warnings: [WARNING],
    });
    expect(place.alerts).toEqual([WARNING]);
    expect(place.observation).toBeNull();
    const alone = evaluated({ ok: false, errors: [], warnings: [WARNING] });
    expect(alone).toMatchObject({ outlook: null, alerts: [WARNING] });
  });

  it('one whose last good answer serves says so, with its time and why', () => {
    const keptSince = new SourceError('source-http', 'The service is down.');
    const kept = evaluated(heard(voice('meteo', swing(0), { keptSince })));
    expect(kept.outlook?.assumptions[0]).toBe(
      'This is the last good answer of meteo, of 2026-01-05T12:20:00Z, since there is no newer one: The service is down.',
    );
  });
});

describe('what is kept of a place', () => {
  it('are the hours that have passed, each value under its own name, and no hour to come', () => {
    const place = evaluated(heard(voice('meteo', swing(0))));
    const [commit] = placeCommits({ now: NOW, places: [place], units: [] });
    const hours = commit!.pastHours;
    expect(hours).toHaveLength(73);
    expect(hours[0]!.hour).toBe(seconds('2026-01-02T12:00:00Z'));
    expect(hours.at(-1)).toMatchObject({
      hour: seconds('2026-01-05T12:00:00Z'),
      source: 'meteo',
      temperatureC: swing(0)(84),
      windSpeedMps: 5,
      cloudPercent: 40,
      soilTemperatureC: null,
    });
    expect(hours.find(({ hour }) => hour === FIRST + 80 * HOUR)?.windSpeedMps).toBeNull();
    expect(commit!.kept.map(({ leadDay }) => leadDay)).toEqual([0, 1, 2, 3, 4]);
  });

  it('fills the past of a service that tells none', () => {
    const past = voice('meteo', swing(0));
    const young: Voice = {
      ...voice('us', swing(0)),
      forecast: {
        ...past.forecast,
        source: 'us',
        firstHour: FIRST + 84 * HOUR,
        members: past.forecast.members.map((member) => ({
          ...member,
          temperatureC: member.temperatureC.slice(84),
          windSpeedMps: null,
          cloudPercent: null,
        })),
      },
    };
    const [commit] = placeCommits({ now: NOW, places: [evaluated(heard(past))], units: [] });
    const alone = evaluated(heard(young));
    const filled = evaluated(heard(young), { knowledge: { ...NOTHING_KNOWN, past: commit!.pastHours } });
    expect(alone.outlook?.firstHour).toBe(FIRST + 84 * HOUR);
    expect(filled.outlook?.firstHour).toBe(FIRST + 12 * HOUR);
    expect(filled.outlook?.stretches[0]).toMatchObject({ what: 'kept past', source: 'meteo' });
  });
});

describe('readings of a place', () => {
  const reading = (at: number, temperatureC: number) =>
    ({ place: 'creek', unit: null, zone: 'outside', at, temperatureC, origin: 'said' }) as const;
  const readings = Array.from({ length: 72 }, (_, i) =>
    reading(FIRST + (12 + i) * HOUR, swing(0)(12 + i) - 3),
  );

  it('cool its forecast, unless learning is switched off; and none from after now teaches', () => {
    const gathered = heard(voice('meteo', swing(0)));
    const knowledge = { ...NOTHING_KNOWN, readings };
    const plain = evaluated(gathered);
    const taught = evaluated(gathered, { knowledge });
    const lowest = (of: typeof plain): number => Math.min(...of.outlook!.members[0]!.temperatureC.slice(84));
    expect(lowest(taught)).toBeLessThan(lowest(plain) - 0.3);
    expect(taught.learned?.record?.readings.reduce((sum, n) => sum + n, 0)).toBe(72);
    const off = { ...CONFIG, weather: { ...CONFIG.weather, learn: false } };
    const untaught = evaluated(gathered, { knowledge, config: off });
    expect(lowest(untaught)).toBe(lowest(plain));
    const later = readings.map(({ at, temperatureC }) => reading(at + 96 * HOUR, temperatureC));
    const early = evaluated(gathered, { knowledge: { ...NOTHING_KNOWN, readings: later } });
    expect(lowest(early)).toBe(lowest(plain));
  });
});
