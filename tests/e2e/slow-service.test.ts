/**
 * Servers that answer slowly, in pieces, cut off or without end, for each kind of service: `check` ends, with the next
 * source or with an unknown that says why. Patience is short here; nothing else differs from what the shell starts.
 */
import { writeFileSync } from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { gzipSync } from 'node:zlib';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import { runCli } from '../../src/cli/cli.ts';
import { startRawServer, type RawServer, type Reply } from '../forecast/http-setup.ts';
import { iso, seconds } from '../support/instants.ts';
import { configOf, csvOf, probeUnit } from '../support/scenario.ts';
import { temporaryDirectory } from '../support/temporary.ts';
import {
  FARM_PLACE,
  metNorwayReply,
  nwsReply,
  openMeteoReply,
  type Told,
} from '../support/three-services.ts';
import { pointsOf, type WeatherHandler } from '../support/weather-server.ts';
import { run } from './program.ts';

const NOW = seconds('2026-01-10T08:30:00Z');
const TOLD: Told = { airC: () => 6, now: NOW, issuedAt: NOW - 900 };
const MAX_BODY_BYTES = 300_000;
const SHORT = { timeouts: { headersMs: 600, bodyMs: 600, totalMs: 1500 } };
const PATIENCE = {
  maxBodyBytes: MAX_BODY_BYTES,
  random: () => 0.5,
  sleep: async () => undefined,
};

const KINDS = { 'open-meteo': openMeteoReply, nws: nwsReply, 'met-norway': metNorwayReply } as const;
type Kind = keyof typeof KINDS;

/** What the service would answer on a good day. */
function bodyOf(kind: Kind, { url = '/', headers }: IncomingMessage): Buffer {
  const { pathname: path, searchParams: query } = new URL(url, 'http://loopback');
  const request: Parameters<WeatherHandler>[0] = { path, query, headers, points: pointsOf(query) };
  const reply = KINDS[kind](request, TOLD);
  if (!('body' in reply)) throw new Error('no body');
  return Buffer.from(reply.body);
}

type Spoil = (body: Buffer, response: ServerResponse, request: IncomingMessage) => unknown;

const JSON_TYPE = { 'content-type': 'application/json' };
const head = (response: ServerResponse, more: object = {}): ServerResponse =>
  response.writeHead(200, { ...JSON_TYPE, ...more });

async function inPieces(body: Buffer, response: ServerResponse): Promise<void> {
  head(response);
  const size = Math.ceil(body.length / 50);
  for (let from = 0; from < body.length; from += size) {
    response.write(body.subarray(from, from + size));
    await nextTurn();
    await nextTurn();
  }
  response.end();
}

/** As fast as the other side takes it, until that hangs up. */
function withoutEnd(_: Buffer, response: ServerResponse): void {
  const more = (): void => {
    while (!response.destroyed && response.write(' '.repeat(10_000)));
  };
  head(response);
  response.on('drain', more);
  more();
}

/** A space at a time, each well within the patience for a piece. */
function dripping(_: Buffer, response: ServerResponse): void {
  head(response);
  const drip = setInterval(() => response.write(' '), 20);
  response.once('close', () => clearInterval(drip));
}

type Fault = readonly [what: string, code: string, spoil: Spoil];

const FAULTS: readonly Fault[] = [
  ['drips without end', 'source-timeout', dripping],
  ['sends chunks without end', 'source-too-large', withoutEnd],
  ['sends nothing but headers', 'source-timeout', (_, response) => head(response).flushHeaders()],
  ['never says anything', 'source-timeout', () => undefined],
  [
    'stops within its headers',
    'source-timeout',
    (_, { socket }) => socket?.write('HTTP/1.1 200 OK\r\nDate:'),
  ],
  ['answers an empty body', 'source-body', (_, response) => head(response).end()],
  [
    'promises more than it sends and keeps the line open',
    'source-timeout',
    (body, response) => head(response, { 'content-length': body.length + 100 }).write(body),
  ],
  [
    'promises more than it sends and hangs up',
    'source-body',
    (body, response) =>
      head(response, { 'content-length': body.length + 100 }).write(body, () => response.destroy()),
  ],
  [
    'sends more than it promises',
    'source-body',
    (body, response) => head(response, { 'content-length': body.length - 100 }).end(body),
  ],
  [
    'resets the connection in the middle',
    'source-body',
    (body, response) =>
      head(response).write(body.subarray(0, body.length / 2), () => response.socket?.resetAndDestroy()),
  ],
  [
    'resets the connection at once',
    'source-unreachable',
    (_, response) => response.socket?.resetAndDestroy(),
  ],
  [
    'cuts its packed answer off',
    'source-body',
    (body, response) => {
      const packed = gzipSync(body);
      head(response, { 'content-encoding': 'gzip' }).end(packed.subarray(0, packed.length - 40));
    },
  ],
  [
    'packs more than anybody needs',
    'source-too-large',
    (_, response) =>
      head(response, { 'content-encoding': 'gzip' }).end(gzipSync(Buffer.alloc(3 * MAX_BODY_BYTES, ' '))),
  ],
  [
    'sends more than anybody needs',
    'source-too-large',
    (_, response) => head(response).end(Buffer.alloc(3 * MAX_BODY_BYTES, ' ')),
  ],
  ['answers without content', 'source-http', (_, response) => response.writeHead(204).end()],
  ['talks no HTTP', 'source-body', (_, { socket }) => socket?.end('220 mail.example.org ESMTP\r\n')],
];

interface Yard {
  readonly directory: string;
  readonly server: RawServer;
  readonly patience?: Partial<typeof SHORT>;
}

function spoilOf(fault: string): Spoil {
  const found = FAULTS.find(([what]) => what === fault);
  if (found === undefined) throw new Error(`No server here ${fault}.`);
  return found[2];
}

const CONFIG = 'drainby.yaml';

/** A place that asks the service first and, where `next` is set, a file after it. */
async function yard(kind: Kind, spoil: Spoil, next: boolean): Promise<Yard> {
  const directory = temporaryDirectory();
  const server = await startRawServer();
  onTestFinished(() => server.close());
  const reply: Reply = (request, response) => spoil(bodyOf(kind, request), response, request);
  server.reply = reply;
  const sources = [
    { id: 'service', kind, baseUrl: server.url },
    ...(next ? [{ id: 'series', kind: 'file', path: './series.csv' }] : []),
  ];
  const weather = { horizon: '3 d', contact: 'ann@example.org', sources, errorModel: { kind: 'none' } };
  const around = configOf({ units: [probeUnit({ place: 'farm' })], places: [FARM_PLACE] });
  writeFileSync(join(directory, CONFIG), JSON.stringify({ ...around, weather }));
  const course = { start: iso(NOW - 1800), temperatureC: Array<number>(96).fill(6) };
  writeFileSync(join(directory, 'series.csv'), csvOf(course));
  return { directory, server };
}

async function check({ directory, patience = SHORT }: Yard, ...more: readonly string[]) {
  let out = '';
  const io = {
    env: {},
    write: (text: string) => void (out += text),
    complain: (text: string) => void (out += text),
    now: () => NOW,
    patience: { ...PATIENCE, ...patience },
  };
  const exit = await runCli(['check', '-c', join(directory, CONFIG), ...more], io);
  return { exit, out };
}

async function answer(of: Yard): Promise<{ readonly exit: number; readonly answer: CheckAnswer }> {
  const { exit, out } = await check(of, '--json');
  return { exit, answer: JSON.parse(out) as CheckAnswer };
}

/** The code of the place's problem, where nothing else is known of it. */
async function codeOf(kind: Kind, spoil: Spoil): Promise<string | undefined> {
  const of = await yard(kind, spoil, false);
  const { exit, answer: none } = await answer(of);
  expect(exit).toBe(3);
  expect(none).toMatchObject({
    places: [{ forecast: null }],
    units: [{ advice: null, chanceOfDamage: null, zones: null }],
  });
  expect(of.server.requests.length).toBeLessThanOrEqual(3);
  return none.places[0]?.problem?.code;
}

/** The source that stands in. */
async function nextAfter(kind: Kind, spoil: Spoil): Promise<string | undefined> {
  const { exit, answer: next } = await answer(await yard(kind, spoil, true));
  expect([exit, next.places[0]?.problem]).toEqual([0, null]);
  expect(next.units[0]?.advice?.action).toBe('nothing');
  return next.places[0]?.forecast?.source;
}

describe.each(Object.keys(KINDS) as Kind[])('%s', (kind) => {
  it('that sends its answer in small pieces is read whole', async () => {
    const of = await yard(kind, inPieces, false);
    const { exit, answer: whole } = await answer({ ...of, patience: {} });
    expect([exit, whole.places[0]?.problem]).toEqual([0, null]);
    expect(whole).toMatchObject({
      places: [{ forecast: { source: 'service' } }],
      units: [{ advice: { action: 'nothing' } }],
    });
    expect(whole.units[0]?.zones?.['outside']?.minimumC).toBeCloseTo(6, 2);
  });

  it('that answers badly is a problem with its code, after three tries at the most', async () => {
    const found = await Promise.all(FAULTS.map(async ([what, , spoil]) => [what, await codeOf(kind, spoil)]));
    expect(found).toEqual(FAULTS.map(([what, code]) => [what, code]));
  });

  it('that answers badly is passed over for the next source', async () => {
    const found = await Promise.all(
      FAULTS.map(async ([what, , spoil]) => [what, await nextAfter(kind, spoil)]),
    );
    expect(found).toEqual(FAULTS.map(([what]) => [what, 'series']));
  });

  it.each(['never says anything', 'resets the connection in the middle'])(
    'that %s: the table says so and what to do, in 80 columns',
    async (fault) => {
      const of = await yard(kind, spoilOf(fault), false);
      const { exit, out } = await check(of);
      expect(exit).toBe(3);
      const text = out.replaceAll(/[\s│]+/g, ' ');
      expect(text).toContain('blue unknown — unknown');
      expect(text).toMatch(/what the cold will do is unknown\. The source "service" [^"]*\./);
      expect(text).toContain('Look at another forecast for the place yourself.');
      for (const line of out.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
    },
  );
});

it('the built program goes to the next source in its own time', async () => {
  const ended = await Promise.all(
    (Object.keys(KINDS) as Kind[]).map(async (kind) => {
      const { directory } = await yard(kind, spoilOf('cuts its packed answer off'), true);
      return await run(['check', '-c', CONFIG, '--now', iso(NOW), '--json'], { cwd: directory });
    }),
  );
  for (const { exit, stdout, stderr } of ended) {
    expect([exit, stderr]).toEqual([0, '']);
    expect(JSON.parse(stdout)).toMatchObject({ places: [{ forecast: { source: 'series' } }] });
  }
});
