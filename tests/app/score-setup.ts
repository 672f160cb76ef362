/** A weather service whose forecasts err as a test says, and the program run beside it day after day. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { once } from '../../src/app/once.ts';
import { runCli } from '../../src/cli/cli.ts';
import { loadConfig } from '../../src/config/load.ts';
import { iso } from '../support/instants.ts';
import { openMeteoBody } from '../support/open-meteo-body.ts';
import { PROBE } from '../support/scenario.ts';
import { temporaryDirectory } from '../support/temporary.ts';
import {
  startWeatherServer,
  type WeatherHandler,
  type WeatherReply,
  type WeatherRequest,
  type WeatherServer,
} from '../support/weather-server.ts';

export const HOUR = 3600;
export const DAY = 24 * HOUR;

/** The weather, and what is said of it. */
export interface Sky {
  /** What the air is at that instant [°C]. */
  readonly truth: (at: number) => number;
  /** Forecast less truth [K], so many whole days ahead. */
  readonly errorK: (at: number, leadDay: number) => number;
}

/** Answers forecasts, archive and previous runs, as recorded of Open-Meteo, of the instant that `now` says. */
export function skyService(sky: Sky, now: () => number): WeatherHandler {
  return (request) => {
    if (request.path.endsWith('/v1/archive')) return past(request, { temperature_2m: sky.truth });
    if (request.query.get('hourly')?.includes('_previous_day'))
      return past(
        request,
        Object.fromEntries(
          [1, 2, 3, 4, 5, 6, 7].map((lead) => [
            `temperature_2m_previous_day${lead}`,
            (at: number) => sky.truth(at) + sky.errorK(at, lead),
          ]),
        ),
      );
    const today = Math.floor(now() / DAY) * DAY;
    const startEpochS = today - 3 * DAY;
    const temperatureC = (hour: number): number => {
      const at = startEpochS + hour * HOUR;
      return sky.truth(at) + (at > now() ? sky.errorK(at, Math.floor(at / DAY) - today / DAY) : 0);
    };
    return { body: openMeteoBody(request.points, { startEpochS, temperatureC, windSpeedMps: () => 0 }) };
  };
}

function past(
  { query, points }: WeatherRequest,
  variables: Readonly<Record<string, (at: number) => number>>,
): WeatherReply {
  const day = (name: string): number => Date.parse(`${query.get(name)}T00:00:00Z`) / 1000;
  const [from, to] = [day('start_date'), day('end_date')];
  const time = Array.from({ length: (to - from) / HOUR + 24 }, (_, i) => from + i * HOUR);
  const [point] = points;
  const body = {
    ...point,
    generationtime_ms: 0.2,
    utc_offset_seconds: 0,
    timezone: 'GMT',
    timezone_abbreviation: 'GMT',
    elevation: 38,
    hourly_units: {
      time: 'unixtime',
      ...Object.fromEntries(Object.keys(variables).map((name) => [name, '°C'])),
    },
    hourly: {
      time,
      ...Object.fromEntries(Object.entries(variables).map(([name, of]) => [name, time.map(of)])),
    },
  };
  return { body: JSON.stringify(body) };
}

export interface Yard {
  readonly server: WeatherServer;
  /** `drainby start --once`; what it warned of. */
  readonly once: (at: number) => Promise<readonly Warned[]>;
  /** A command with `-c FILE` and `--now`, and what follows it; fails unless it ends with 0. */
  readonly run: (at: number, ...command: readonly [string, ...string[]]) => Promise<string>;
  /** `drainby score creek` and what follows. */
  readonly score: (at: number, ...more: readonly string[]) => Promise<string>;
}

interface Warned {
  readonly fields: object;
  readonly message: string;
}

/** Said of the place and the unit beside or in place of the usual. */
interface YardOver {
  readonly place?: object;
  readonly unit?: object;
}

/** A place and a unit beside a service that knows the past. */
function configOf(url: string, errorModel: object, { place: of, unit: how }: YardOver): object {
  const place = { id: 'creek', label: 'Creek row', latitude: 39.61, longitude: -106.05, lie: 'bench' };
  const unit = { id: 'blue', label: 'Blue trailer', place: 'creek', kind: 'travel-trailer' };
  return {
    weather: {
      horizon: '8 d',
      nightBias: '0 K',
      sources: [{ id: 'meteo', kind: 'open-meteo', baseUrl: url, archiveUrl: url, previousRunsUrl: url }],
      errorModel,
    },
    places: [{ ...place, timeZone: 'America/Denver', ...of }],
    units: [
      {
        ...unit,
        water: { state: 'in-use' },
        contacts: ['ann'],
        parts: { catalogue: false, own: [PROBE] },
        ...how,
      },
    ],
    people: [{ id: 'ann', name: 'Ann', email: 'ann@example.org', timeZone: 'America/Denver' }],
    delivery: { file: { directory: './sent' } },
    store: { path: './drainby.db' },
  };
}

export async function setYard(
  handler: WeatherHandler,
  errorModel: object = { kind: 'growing', members: 11 },
  over: YardOver = {},
): Promise<Yard> {
  const directory = temporaryDirectory();
  const server = await startWeatherServer(handler);
  onTestFinished(() => server.close());
  const file = join(directory, 'drainby.yaml');
  writeFileSync(file, JSON.stringify(configOf(server.url, errorModel, over)));
  const run: Yard['run'] = async (at, ...command) => {
    let [out, complaints] = ['', ''];
    const io = {
      env: {},
      write: (text: string) => {
        out += text;
      },
      complain: (text: string) => {
        complaints += text;
      },
      now: () => at,
    };
    const exit = await runCli([...command, '-c', file, '--now', iso(at)], io);
    if (exit !== 0) throw new Error(`drainby ${command[0]} ended with ${exit}: ${complaints}`);
    return out;
  };
  return {
    server,
    once: async (at) => {
      const warned: Warned[] = [];
      await once({
        config: loadConfig(file),
        surroundings: { env: {}, write: () => undefined },
        now: () => at,
        signal: new AbortController().signal,
        log: {
          info: () => undefined,
          warn: (fields, message) => warned.push({ fields, message }),
          error: (fields, message) => warned.push({ fields, message }),
        },
      });
      return warned;
    },
    run,
    score: (at, ...more) => run(at, 'score', 'creek', ...more),
  };
}
