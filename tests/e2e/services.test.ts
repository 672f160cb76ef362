/** Three services in one config, as a user runs the program: recorded bodies behind the loopback interface. */
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { simpleParser } from 'mailparser';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import { sharedPath } from '../shared-data.ts';
import { iso } from '../support/instants.ts';
import {
  RECORDED_AT,
  recordedMetNorway,
  recordedNws,
  recordedOpenMeteo,
} from '../support/recorded-services.ts';
import { ANN, configOf, probeUnit } from '../support/scenario.ts';
import { temporaryDirectory } from '../support/temporary.ts';
import { FARM_PLACE } from '../support/three-services.ts';
import { startWeatherServer, type WeatherHandler, type WeatherServer } from '../support/weather-server.ts';
import { run, type Ended } from './program.ts';

const CONFIG = 'drainby.yaml';
const MINUTE = 60;
const HOUR = 60 * MINUTE;

/** Says when its answer was last changed, and 304 to whoever knows that one. */
function conditional(handler: WeatherHandler, headers: Readonly<Record<string, string>>): WeatherHandler {
  return async (request) => {
    if (request.headers['if-modified-since'] === headers['last-modified'])
      return { status: 304, headers, body: '' };
    const reply = await handler(request);
    return 'body' in reply && !('drop' in reply || 'stall' in reply)
      ? { ...reply, headers: { ...('headers' in reply && reply.headers), ...headers } }
      : reply;
  };
}

const httpDate = (at: number): string => new Date(at * 1000).toUTCString();

/** Of recordings/met-norway/complete-with-headers.json: 31 min 52 s from `Date` to `Expires`. */
const MET_HEADERS = {
  date: httpDate(RECORDED_AT),
  expires: httpDate(RECORDED_AT + 31 * MINUTE + 52),
  'last-modified': httpDate(RECORDED_AT - 40 * MINUTE),
};
const NWS_HEADERS = { 'last-modified': httpDate(RECORDED_AT - 43 * MINUTE) };

interface Lot {
  readonly directory: string;
  readonly servers: Readonly<Record<'nws' | 'met' | 'meteo', WeatherServer>>;
  /** A command with `-c FILE` and `--now`, so many seconds after the recorded grid was received. */
  readonly run: (seconds: number, ...command: readonly [string, ...string[]]) => Promise<Ended>;
}

async function opened(handler: WeatherHandler): Promise<WeatherServer> {
  const server = await startWeatherServer(handler);
  onTestFinished(() => server.close());
  return server;
}

async function lot(source: object = {}, order = ['nws', 'met', 'meteo']): Promise<Lot> {
  const directory = temporaryDirectory();
  const servers = {
    nws: await opened(conditional(recordedNws, NWS_HEADERS)),
    met: await opened(conditional(recordedMetNorway, MET_HEADERS)),
    meteo: await opened(recordedOpenMeteo),
  };
  const weather = {
    horizon: '4 d',
    contact: 'ann@example.org',
    sources: [
      { id: 'meteo', kind: 'open-meteo', baseUrl: servers.meteo.url, ...source },
      { id: 'nws', kind: 'nws', baseUrl: servers.nws.url },
      { id: 'met', kind: 'met-norway', baseUrl: servers.met.url },
    ],
    errorModel: { kind: 'growing', members: 11 },
  };
  const units = [probeUnit({ place: 'farm' }, { water: '3 kg' })];
  const around = configOf({ units, places: [{ ...FARM_PLACE, sources: order }], people: [ANN] });
  const config = { ...around, weather, store: { path: './drainby.db' } };
  writeFileSync(join(directory, CONFIG), JSON.stringify(config));
  return {
    directory,
    servers,
    run: (seconds, command, ...more) =>
      run([command, '-c', CONFIG, '--now', iso(RECORDED_AT + seconds), ...more], { cwd: directory }),
  };
}

async function once(of: Lot, seconds: number): Promise<void> {
  const { exit, stderr } = await of.run(seconds, 'start', '--once');
  expect(exit, stderr).toBe(0);
}

async function check(of: Lot, seconds: number): Promise<CheckAnswer & { readonly exit: number | null }> {
  const { exit, stdout } = await of.run(seconds, 'check', '--json');
  return { ...(JSON.parse(stdout) as CheckAnswer), exit };
}

type Asked = Readonly<Record<'nws' | 'met' | 'meteo', readonly string[]>>;

/** What each service was asked from here on, to the call; `?` marks what was asked conditionally. */
function listening({ servers }: Lot): () => Asked {
  const from = { nws: 0, met: 0, meteo: 0 };
  const since = (name: keyof Asked): string[] => {
    const asked = servers[name].requests.slice(from[name]);
    from[name] += asked.length;
    return asked.map(
      ({ path, headers }) => `${path}${headers['if-modified-since'] === undefined ? '' : '?'}`,
    );
  };
  since('nws');
  since('met');
  since('meteo');
  return () => ({ nws: since('nws'), met: since('met'), meteo: since('meteo') });
}

const CREDITS = [
  'Data: US National Weather Service (NOAA), https://www.weather.gov/',
  'Data from MET Norway (https://api.met.no/), NLOD 2.0 / CC BY 4.0; changed',
  'Weather data by Open-Meteo.com (https://open-meteo.com/), CC BY 4.0',
];
/** Its headline in alerts/freeze-2025-12-15.json, a month later. */
const WARNING =
  '“Freeze Warning issued January 15 at 12:41PM EST until January 16 at 9:00AM EST by NWS Tallahassee FL”';
const flat = (text: string): string => text.replaceAll(/\s+/g, ' ');

/** What stands in the directory, and the bytes of the database. */
const onDisk = ({ directory }: Lot) => [readdirSync(directory), readFileSync(join(directory, 'drainby.db'))];

function refusing(recording: string): WeatherHandler {
  const status = Number(/(\d{3})_/.exec(recording)?.[1]);
  const type = recording.endsWith('.html') ? 'text/html' : 'application/json';
  const body = readFileSync(sharedPath(`recordings/${recording}`), 'utf8');
  return () => ({ status, headers: { 'content-type': type }, body });
}

describe('with three services', () => {
  it('the first of the place’s own order is used; all are shown, credited and held against each other', async () => {
    const of = await lot();
    await once(of, 0);
    const [file, ...others] = readdirSync(join(of.directory, 'sent'));
    expect(others).toEqual([]);
    const mail = await simpleParser(readFileSync(join(of.directory, 'sent', file ?? '')));
    expect(mail.subject).toMatch(/^Winterize blue/);

    const before = onDisk(of);
    const table = await of.run(120, 'check');
    const answer = await check(of, 120);
    expect([answer.exit, table.exit]).toEqual([0, 0]);
    expect(onDisk(of)).toEqual(before);
    const [place] = answer.places;
    expect(place?.forecast).toMatchObject({ source: 'nws', issuedAt: '2026-01-15T17:37:00Z' });
    expect(place?.attributions).toEqual(CREDITS);
    expect(place?.alerts).toMatchObject([
      { title: 'Freeze Warning', issuer: 'NWS Tallahassee FL', endsAt: '2026-01-16T14:00:00Z' },
    ]);
    // Seven hours before now, as recorded, and nothing before them.
    expect(place?.forecast?.stretches.map(({ from, what }) => [from, what])).toEqual([
      ['2026-01-12T18:00:00Z', 'unknown'],
      ['2026-01-15T11:00:00Z', 'forecast'],
    ]);
    const lows = 'The lows of the first night from now differ: nws';
    expect(place?.forecast?.assumptions.filter((text) => text.startsWith(lows))).toHaveLength(1);
    for (const text of [flat(table.stdout), flat(mail.text ?? '')]) {
      for (const said of [...CREDITS, WARNING, lows, 'the one with the colder nights is used, nws'])
        expect(text).toContain(said);
      // Upgraded and cancelled: no Watch is in force beside the Warning.
      expect(text).not.toContain('Freeze Watch');
    }
    for (const line of table.stdout.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
  });

  it('one that refuses is stood in for by its last good answer, then by the next; then nothing is known', async () => {
    const of = await lot();
    await once(of, 0);
    of.servers.nws.respondWith(refusing('nws/problems/403_akamai_access_denied.html'));
    const kept = await check(of, HOUR);
    expect([kept.exit, kept.places[0]?.forecast?.source]).toEqual([0, 'nws']);
    expect(kept.places[0]?.forecast?.assumptions[0]).toMatch(/^This is the last good answer.*status 403/);

    // Issued at 17:37, so too old at 05:37; of the others the one with the colder nights.
    const late = await check(of, 13 * HOUR);
    expect([late.exit, late.places[0]?.forecast?.source]).toEqual([0, 'meteo']);
    expect(late.places[0]?.attributions).toEqual(CREDITS.slice(1));

    of.servers.met.respondWith(() => ({ status: 429, body: '' }));
    of.servers.meteo.respondWith(refusing('open-meteo/errors/http429_daily.json'));
    const none = await check(of, 24 * HOUR);
    expect(none).toMatchObject({ exit: 3, units: [{ advice: null, zones: null }] });
    const { forecast, problem, attributions } = none.places[0]!;
    expect([forecast, attributions]).toEqual([null, []]);
    expect(problem?.message).toMatch(/"nws".*status 403.*"met".*more than 18 hours.*"meteo".*more than 12/);
  });

  it('a restart asks for nothing that is not due, and what is due conditionally', async () => {
    const of = await lot();
    const asked = listening(of);
    await once(of, 0);
    const grid = '/gridpoints/OAX/59,58';
    const [complete, station] = ['/weatherapi/locationforecast/2.0/complete', '/stations/KMGW/observations'];
    const nws = ['/points/41.211,-96.63', grid, `${grid}/forecast/hourly`, '/alerts/active'];
    // A server of one's own sets no terms, and is asked every time.
    const meteo = ['/v1/forecast'];
    expect(asked()).toEqual({ nws: [...nws, `${grid}/stations`, station], met: [complete], meteo });

    const answer = await check(of, 2 * MINUTE);
    expect([answer.exit, asked()]).toEqual([0, { nws: [], met: [], meteo }]);
    await once(of, 10 * MINUTE);
    expect(asked()).toEqual({ nws: ['/alerts/active?'], met: [], meteo });
    await once(of, HOUR);
    expect(asked()).toEqual({
      nws: [`${grid}?`, `${grid}/forecast/hourly?`, '/alerts/active?', `${station}?`],
      met: [`${complete}?`],
      meteo,
    });
    // 304: the same forecast, confirmed.
    expect((await check(of, HOUR + MINUTE)).places[0]?.forecast).toMatchObject({
      issuedAt: '2026-01-15T17:37:00Z',
      fetchedAt: iso(RECORDED_AT + HOUR),
    });
  });

  it('the calls of a day are counted across restarts, and anew from midnight UTC on', async () => {
    const of = await lot({ callsPerDay: 2 }, ['meteo']);
    const asked = listening(of);
    await once(of, 0);
    await once(of, HOUR);
    expect(asked().meteo).toHaveLength(2);
    const spent = await check(of, 2 * HOUR);
    expect(asked().meteo).toEqual([]);
    expect(spent.places[0]?.forecast?.assumptions[0]).toMatch(
      /last good answer.*"meteo" .* is not asked: what it allows in one day is spent/,
    );
    await once(of, 5 * HOUR);
    expect(asked().meteo).toEqual([]);
    await once(of, 6 * HOUR);
    expect(asked().meteo).toHaveLength(1);
  });
});
