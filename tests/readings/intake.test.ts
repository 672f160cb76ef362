/** The daemon's intake: through a real socket and a real broker to a real database. */
import { createServer, type AddressInfo } from 'node:net';
import { once } from 'node:events';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openIntake, type IntakeOptions } from '../../src/app/intake.ts';
import type { Log } from '../../src/outbox/log.ts';
import { openStore } from '../../src/store/open.ts';
import { CREEK, configOf, probeUnit, scenario } from '../support/scenario.ts';
import { NOW } from '../support/letter.ts';
import { recordingLog } from '../support/outbox.ts';
import { TOKEN, post } from '../web/post.ts';
import { startBroker } from './broker.ts';

const PORCH = {
  topic: 'porch',
  path: 't',
  timePath: null,
  temperature: 'F',
  place: 'creek',
  unit: null,
  zone: null,
} as const;

async function freePort(): Promise<number> {
  const held = createServer().listen(0, '127.0.0.1');
  await once(held, 'listening');
  const { port } = held.address() as AddressInfo;
  held.close();
  await once(held, 'close');
  return port;
}

async function intake(over: Partial<Pick<IntakeOptions, 'web' | 'mqtt'>>) {
  const series = { 'series.csv': 'time,temperatureC\n2026-11-25T08:00:00Z,1\n' };
  const config = scenario(configOf({ places: [CREEK], units: [probeUnit()] }), series);
  const store = await openStore(config.store.path);
  onTestFinished(() => store.close());
  const recorded = recordingLog();
  let hear = (): void => undefined;
  const isOpen = new Promise<void>((resolve) => {
    hear = resolve;
  });
  const info: Log['info'] = (fields, message) => {
    recorded.info(fields, message);
    hear();
  };
  const { signal } = new AbortController();
  const options = { config, store, web: null, mqtt: null, now: () => NOW, signal, ...over };
  const open = await openIntake({ ...options, log: { ...recorded, info } });
  onTestFinished(() => open.close());
  if (options.web !== null || options.mqtt !== null) await isOpen;
  return { ...open, store, log: recorded.lines };
}

async function overHttp() {
  const listen = `127.0.0.1:${await freePort()}`;
  return { ...(await intake({ web: { listen, token: TOKEN } })), address: `http://${listen}` };
}

describe('readings over HTTP', () => {
  it('are in the database when they are answered for', async () => {
    const { store, ...web } = await overHttp();
    const many = [
      { place: 'creek', temperatureC: -3.5 },
      { unit: 'blue', temperatureF: 32, at: '2026-11-25T08:00:00Z' },
    ];
    expect(await post(web, many)).toMatchObject({ status: 200, body: { added: 2, replaced: 0, known: 0 } });
    expect(await post(web, many)).toMatchObject({ status: 200, body: { added: 0, replaced: 0, known: 2 } });
    const of = { place: 'creek', zone: 'outside', origin: 'http' };
    expect(await store.readReadings('creek', 0)).toEqual([
      { ...of, unit: 'blue', at: NOW - 1800, temperatureC: 0 },
      { ...of, unit: null, at: NOW, temperatureC: -3.5 },
    ]);
  });

  it('are kept all or none, with every mistake said', async () => {
    const { store, ...web } = await overHttp();
    const { status, body } = await post(web, [
      { place: 'creek', temperatureC: -3.5 },
      { place: 'lake', temperatureC: 1 },
      { unit: 'blue', zone: 'attic', temperatureC: -127, at: '2027-01-01T00:00:00Z' },
      { unit: 'blue', temperatureC: true },
    ]);
    expect(status).toBe(422);
    const { mistakes } = body as { mistakes: readonly { index: number; text: string }[] };
    expect(mistakes.map(({ index }) => index)).toEqual([1, 2, 2, 2, 3]);
    expect(mistakes[0]?.text).toBe('There is no place "lake". Known places are: creek.');
    expect(await store.readReadings('creek', 0)).toEqual([]);
  });

  it('of places that nobody knows are not found', async () => {
    const web = await overHttp();
    expect(await post(web, { place: 'lake', temperatureC: 1 })).toMatchObject({ status: 404 });
    expect(await post(web, { unit: 'creek', temperatureC: 1 })).toMatchObject({ status: 404 });
    const long = await post(web, { place: '🥶'.repeat(9000), temperatureC: 1 });
    const [mistake] = (long.body as { mistakes: readonly { text: string }[] }).mistakes;
    expect(mistake?.text).toBe(`There is no place "${'🥶'.repeat(59)}…". Known places are: creek.`);
  });

  it('come in beside word of the last round', async () => {
    const { address, store } = await overHttp();
    const times = { startedAt: NOW - 9, finishedAt: NOW };
    await store.commitRound({ id: 'one', ...times, placesWithForecast: 1, placesWithout: 0 }, []);
    const well = await fetch(`${address}/health`);
    expect([well.status, await well.json()]).toEqual([200, { ok: true, lastRound: '2026-11-25T08:30:00Z' }]);
    const blind = { startedAt: NOW, finishedAt: NOW + 1, placesWithForecast: 0, placesWithout: 1 };
    await store.commitRound({ id: 'two', ...blind }, []);
    const unwell = await fetch(`${address}/health`);
    expect([unwell.status, await unwell.json()]).toMatchObject([503, { ok: false }]);
  });
});

describe('readings over MQTT', () => {
  it('are in the database when the intake is closed, and the impossible ones are not', async () => {
    const broker = await startBroker();
    const subscriptions = [PORCH, { ...PORCH, topic: 'attic', zone: 'attic', place: null, unit: 'blue' }];
    const mqtt = { url: broker.url, user: null, password: null, subscriptions };
    const { store, log, ...open } = await intake({ mqtt });
    await broker.publish('porch', '{"t":14}');
    await broker.publish('attic', '{"t":14}');
    await open.close();
    expect(await store.readReadings('creek', 0)).toEqual([
      { place: 'creek', unit: null, zone: 'outside', at: NOW, temperatureC: -10, origin: 'mqtt' },
    ]);
    const complaints = log.filter(({ level }) => level === 'warn').map(({ fields }) => fields);
    expect(complaints).toMatchObject([
      { topic: 'attic', problem: expect.stringContaining('no zone "attic"') as unknown },
    ]);
  });
});

it('an intake without doors opens nothing', async () => {
  const { log, ...open } = await intake({});
  await open.close();
  expect(log).toEqual([]);
});
