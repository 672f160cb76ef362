/** A directory with a config, a weather service and a mail server: all that the program meets. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { onTestFinished } from 'vitest';
import type { OutgoingMessage } from '../../src/message/message.ts';
import type { Memory } from '../../src/decision/memory.ts';
import { openMeteoBody, type BodyOptions } from '../support/open-meteo-body.ts';
import { startSmtp, type ReceivedMail, type SmtpOptions, type SmtpServer } from '../support/smtp.ts';
import { temporaryDirectory } from '../support/temporary.ts';
import { startWeatherServer, type WeatherHandler, type WeatherServer } from '../support/weather-server.ts';
import { run, startProgram, type Ended, type Program } from './program.ts';

/** A config as the file states it. */
export type Written = Readonly<Record<string, unknown>>;

export interface Scene {
  readonly directory: string;
  readonly store: string;
  readonly weather: WeatherServer;
  readonly smtp: SmtpServer;
  /** Writes the config anew with these sections in place of the usual ones. */
  configure(change: Written): void;
  /** `drainby start -c FILE` and what follows. */
  start(...more: readonly string[]): Program;
  /** Any command with `-c FILE`, to its end. */
  run(command: string, ...more: readonly string[]): Promise<Ended>;
}

export interface SceneOptions {
  readonly smtp?: SmtpOptions;
  readonly weather?: WeatherHandler;
  readonly config?: Written;
}

const CONFIG = 'drainby.yaml';

export async function setScene(options: SceneOptions = {}): Promise<Scene> {
  const directory = temporaryDirectory();
  const weather = await startWeatherServer(options.weather ?? coldComes());
  onTestFinished(() => weather.close());
  const smtp = await startSmtp(options.smtp);
  onTestFinished(() => smtp.close());
  const configure = (change: Written): void => {
    const config = { ...usualConfig(weather.url, smtp.port), ...change };
    writeFileSync(join(directory, CONFIG), JSON.stringify(config));
  };
  configure(options.config ?? {});
  return {
    directory,
    store: join(directory, 'drainby.db'),
    weather,
    smtp,
    configure,
    start: (...more) => startProgram(['start', '-c', CONFIG, ...more], { cwd: directory }),
    run: (command, ...more) => run([command, '-c', CONFIG, ...more], { cwd: directory }),
  };
}

/** Every YAML parser reads JSON, so the config is written as such. */
function usualConfig(baseUrl: string, port: number): Written {
  return {
    weather: weatherFrom(baseUrl),
    places: [CREEK],
    units: [BLUE],
    people: [ANN],
    delivery: { email: email(port), lease: '5 s' },
    store: { path: './drainby.db' },
  };
}

/** With few members and days, for speed: how many there are changes nothing here. */
function weatherFrom(baseUrl: string): Written {
  return {
    horizon: '5 d',
    sources: [{ id: 'meteo', kind: 'open-meteo', baseUrl }],
    errorModel: { kind: 'growing', members: 11 },
  };
}

export function email(port: number): Written {
  return { host: '127.0.0.1', port, security: 'none', from: 'drainby@example.org' };
}

/** A config's section with a lease so long that only the grace of a stop can end an attempt. */
export function longLease(port: number): Written {
  return { delivery: { email: email(port), lease: '2 min' } };
}

export const CREEK = {
  id: 'creek',
  label: 'Creek row',
  latitude: 39.61,
  longitude: -106.05,
  timeZone: 'America/Denver',
  lie: 'bench',
};

/** Far enough from the other place for an answer of its own. */
export const MEADOW = { ...CREEK, id: 'meadow', label: 'Meadow', latitude: 44.42, longitude: -110.59 };

/** One fitting outside that a cold night splits. */
const PROBE = {
  id: 'probe',
  zone: 'outside',
  circuit: 'cold',
  water: '0.1143 kg',
  conductance: '0.5 W/K',
  startTemperature: '8 °C',
  body: 'rigid',
  blocked: 0.2,
  solid: 0.95,
  pocket: true,
};

export const BLUE = {
  id: 'blue',
  label: 'Blue trailer',
  place: 'creek',
  kind: 'travel-trailer',
  parts: { catalogue: false, own: [PROBE] },
  water: { state: 'in-use', since: '2026-10-01T00:00:00Z' },
  contacts: ['ann'],
};

export const ANN = {
  id: 'ann',
  name: 'Ann Example',
  email: 'ann@example.org',
  temperature: 'F',
  timeZone: 'America/Los_Angeles',
};

/** Air temperature in °C so many hours after now; null: unknown. */
export type Air = (hoursAhead: number, point: number) => number | null;

const seconds = (): number => Math.floor(Date.now() / 1000);

/** Answers every point from three days ago on. */
export function answers(
  air: Air,
  { now = seconds, ...rest }: { readonly now?: () => number } & Partial<BodyOptions> = {},
): WeatherHandler {
  return ({ points }) => {
    const startEpochS = Math.floor(now() / 3600) * 3600 - 72 * 3600;
    const temperatureC = (hour: number, point: number): number | null => air(hour - 72, point);
    return { body: openMeteoBody(points, { startEpochS, temperatureC, ...rest }) };
  };
}

/** A day of −15 °C that begins in thirty hours. It does harm to anything that holds water outside. */
export const COLD_LATER: Air = (hoursAhead) => (hoursAhead >= 30 && hoursAhead < 54 ? -15 : 8);
export const MILD: Air = () => 10;

export function coldComes(now: () => number = seconds): WeatherHandler {
  return answers(COLD_LATER, { now });
}

/** A gate in front of a handler: it answers only once it was opened. */
export function gated(handler: WeatherHandler) {
  let open: () => void = () => undefined;
  let arrive: () => void = () => undefined;
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  const arrived = new Promise<void>((resolve) => {
    arrive = resolve;
  });
  const behind: WeatherHandler = async (request) => {
    arrive();
    await opened;
    return handler(request);
  };
  return { handler: behind, arrived, open };
}

export interface OutboxRow {
  readonly unit: string;
  readonly kind: string;
  readonly person: string;
  readonly channel: string;
  readonly state: string;
  readonly attempt: number;
  readonly round: string;
  readonly due_at: number;
  readonly message: OutgoingMessage;
}

export interface RoundRow {
  readonly id: string;
  readonly places_without: number;
}

export interface UnitRow {
  readonly unit: string;
  readonly version: number;
  readonly water: string | null;
  readonly memory: Memory;
}

/** The value of a header of one line; empty when it is not there. */
export function header({ mail }: ReceivedMail, name: string): string {
  const value = mail.headers.get(name);
  return typeof value === 'string' ? value : '';
}

/** What the database file holds, read past the program. */
export function inspect(path: string) {
  const database = new Database(path, { readonly: true });
  try {
    const all = (table: string): Row[] => database.prepare(`select * from ${table}`).all() as Row[];
    const withJson = (table: string, column: string): Row[] =>
      all(table).map((row) => ({ ...row, [column]: JSON.parse(String(row[column])) as unknown }));
    return {
      rounds: all('round') as unknown as readonly RoundRow[],
      outbox: withJson('outbox', 'message') as unknown as readonly OutboxRow[],
      units: withJson('unit', 'memory') as unknown as readonly UnitRow[],
    };
  } finally {
    database.close();
  }
}

type Row = Readonly<Record<string, unknown>>;
