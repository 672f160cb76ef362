import { utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { check } from '../../src/app/check.ts';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import { explain } from '../../src/app/explain.ts';
import type { ExplainAnswer } from '../../src/app/explain-answer.ts';
import { openSources } from '../../src/app/sources.ts';
import { runRound, type RoundOutcome } from '../../src/app/round.ts';
import type { Config } from '../../src/config/config.ts';
import { loadConfig } from '../../src/config/load.ts';
import { storeShelf } from '../../src/store/shelves.ts';
import { openStore } from '../../src/store/open.ts';
import { iso, seconds } from './instants.ts';
import { temporaryDirectory } from './temporary.ts';

/** Hours in UTC from `start`, which is a whole hour. */
export interface Course {
  readonly start: string;
  readonly temperatureC: readonly (number | null)[];
  readonly windSpeedMps?: readonly (number | null)[];
  readonly cloudPercent?: readonly (number | null)[];
}

export interface WeightedCourse extends Omit<Course, 'start'> {
  readonly weight: number;
}

const YET_TO_COME = new Date('2100-01-01T00:00:00Z');
const SURROUNDINGS = { env: {}, write: () => undefined };
const QUIET = { info: () => undefined, warn: () => undefined, error: () => undefined };

function hoursFrom(start: string, count: number): string[] {
  return Array.from({ length: count }, (_, i) => iso(seconds(start) + i * 3600));
}

/** The text of a CSV series file. */
export function csvOf({ start, temperatureC, windSpeedMps, cloudPercent }: Course): string {
  const columns = { windSpeedMps, cloudPercent };
  const given = (['windSpeedMps', 'cloudPercent'] as const).filter((name) => columns[name] !== undefined);
  const rows = hoursFrom(start, temperatureC.length).map((time, i) =>
    [time, temperatureC[i] ?? '', ...given.map((name) => columns[name]?.[i] ?? '')].join(','),
  );
  return `${[['time', 'temperatureC', ...given].join(','), ...rows].join('\n')}\n`;
}

/** The text of a `drainby.series/1` file. */
export function jsonOf(start: string, members: readonly WeightedCourse[], issuedAt?: string): string {
  const time = hoursFrom(start, members[0]?.temperatureC.length ?? 0);
  return JSON.stringify({ schema: 'drainby.series/1', issuedAt: issuedAt ?? null, time, members });
}

/** Writes the files and the config into a directory of their own and loads the config. JSON is YAML. */
export function scenario(config: object, files: Readonly<Record<string, string>>): Config {
  const directory = temporaryDirectory();
  for (const [name, text] of Object.entries(files)) {
    writeFileSync(join(directory, name), text);
    // Whatever instant a test pretends, the file is not older.
    utimesSync(join(directory, name), YET_TO_COME, YET_TO_COME);
  }
  const file = join(directory, 'drainby.yaml');
  writeFileSync(file, JSON.stringify(config, null, 1));
  return loadConfig(file);
}

export async function checkAt(
  config: Config,
  now: string,
  units: readonly string[] = [],
): Promise<CheckAnswer> {
  const signal = new AbortController().signal;
  const request = { config, surroundings: SURROUNDINGS, now: seconds(now), signal, units };
  return (await check({ ...request, failOnAction: false })).answer;
}

export async function explainAt(
  config: Config,
  unit: string,
  now: string,
  member: 'middle' | number = 'middle',
): Promise<ExplainAnswer> {
  const signal = new AbortController().signal;
  return explain({ config, surroundings: SURROUNDINGS, now: seconds(now), signal, unit, member });
}

/** One round with the config's own database. */
export async function roundAt(config: Config, now: string): Promise<RoundOutcome> {
  const store = await openStore(config.store.path);
  const shelf = storeShelf(store, (error) => {
    throw error;
  });
  const sources = openSources(config, { env: SURROUNDINGS.env, shelf });
  try {
    const signal = new AbortController().signal;
    const clock = (): number => seconds(now);
    return await runRound({
      config,
      sources: sources.offered,
      store,
      owner: 'test',
      now: clock,
      signal,
      log: QUIET,
    });
  } finally {
    await store.close();
    await sources.close();
  }
}

/** What a config cannot be without, around the given parts. */
export interface Around {
  readonly units: readonly object[];
  readonly places?: readonly object[];
  readonly people?: readonly object[];
  readonly series?: string;
  readonly errorModel?: object;
  readonly policy?: object;
  readonly sources?: readonly object[];
  readonly delivery?: object;
}

export const CREEK = {
  id: 'creek',
  latitude: 39.61,
  longitude: -106.05,
  timeZone: 'America/Denver',
  lie: 'bench',
} as const;

export const ANN = {
  id: 'ann',
  name: 'Ann Example',
  email: 'ann@example.org',
  temperature: 'F',
  timeZone: 'America/Denver',
} as const;

export function configOf(around: Around): object {
  const { units, series = 'series.csv', errorModel = { kind: 'none' } } = around;
  return {
    weather: {
      errorModel,
      sources: around.sources ?? [{ id: 'series', kind: 'file', path: `./${series}` }],
    },
    places: around.places ?? [CREEK],
    units,
    people: around.people ?? [ANN],
    delivery: around.delivery ?? { file: { directory: './sent' } },
    ...(around.policy === undefined ? {} : { policy: around.policy }),
  };
}

/** A unit of one part in outside air, without heat. */
export function probeUnit(over: object = {}, part: object = {}): object {
  return {
    id: 'blue',
    place: 'creek',
    kind: 'travel-trailer',
    belly: 'open',
    heat: 'none',
    water: { state: 'in-use' },
    contacts: ['ann'],
    parts: { catalogue: false, own: [{ ...PROBE, ...part }] },
    ...over,
  };
}

/** One fitting outside that a cold night splits, without heat: it is quickly computed. */
export const PROBE = {
  id: 'probe',
  zone: 'outside',
  circuit: 'cold',
  water: '0.1143 kg',
  conductance: '0.5 W/K',
  startTemperature: '10 °C',
  body: 'rigid',
  blocked: 0.2,
  solid: 0.95,
  pocket: true,
} as const;
