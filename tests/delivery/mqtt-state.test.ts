import { once } from 'node:events';
import { createServer, type AddressInfo } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { MqttStateConfig } from '../../src/config/config.ts';
import { MachineStateSchema } from '../../src/delivery/machine-schema.ts';
import { openMqttState, type MqttStateOptions } from '../../src/delivery/mqtt-state.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import type { UnitState } from '../../src/message/unit-state.ts';
import { isoSecond } from '../../src/quantity/instant.ts';
import { startBroker } from '../readings/broker.ts';
import { startBroker5 } from '../support/broker-of-version-5.ts';
import { letter, NOW } from '../support/letter.ts';
import { watch } from '../support/watcher.ts';

const NEVER = new AbortController().signal;
const UNITS = [
  { place: 'creek', unit: 'blue' },
  { place: 'creek', unit: 'red' },
];
const TOPIC = 'parked/creek/blue/state';

function state(over: Partial<UnitState> = {}): UnitState {
  return {
    unit: 'blue',
    label: 'Blue trailer',
    place: 'creek',
    asOf: NOW,
    validUntil: NOW + 10800,
    advice: {
      action: 'keep-warm',
      startBy: NOW + 7200,
      reasonCode: 'cold-ahead',
    },
    figures: {
      method: null,
      late: false,
      chanceOfDamage: {
        nothing: 0.5,
        'keep-warm': 0.02,
      },
      throughCold: { until: Date.UTC(2026, 10, 29, 18) / 1000, chanceOfDamage: { 'keep-warm': 0.14 } },
      lowestC: -3.456,
      lowestAt: NOW + 6e4,
      suspect: false,
      heat: 'furnace-on',
    },
    waterState: 'wet',
    problem: null,
    ...over,
  };
}

function telling(over: Partial<UnitState> = {}): OutgoingMessage {
  const told = state(over);
  return letter({ kind: 'state', unit: told.unit, to: { id: '', name: '', email: null }, state: told });
}

const hasOne = (kept: ReadonlyMap<string, string>): boolean => kept.size === 1;
const isEmpty = (kept: ReadonlyMap<string, string>): boolean => kept.size === 0;

/** Kept by the broker since some earlier run. */
function leftOver(validUntil: number, installation: string | undefined = 'lot-a'): string {
  const over = { schema: 'drainby.state/1', installation, unit: 'blue', validUntil: isoSecond(validUntil) };
  return JSON.stringify(over);
}

function open(url: string, over: Partial<MqttStateOptions> = {}, config: Partial<MqttStateConfig> = {}) {
  const troubles: string[] = [];
  const channel = openMqttState(
    { url, user: null, password: null, topic: 'parked', ...config },
    {
      env: {},
      now: () => NOW,
      units: UNITS,
      installation: Promise.resolve('lot-a'),
      onTrouble: (what: string) => troubles.push(what),
      pace: {
        reconnect: 50,
        patience: 5e3,
      },
      ...over,
    },
  );
  onTestFinished(() => channel.close());
  return { channel, troubles };
}

describe('the state of a unit', () => {
  it('is kept by the broker for those who come later, with its schema and until when it holds', async () => {
    const broker = await startBroker();
    const { channel } = open(broker.url);
    await channel.send(telling(), NEVER);
    const kept = await broker.kept(hasOne);
    expect([...kept.keys()]).toEqual([TOPIC]);
    const payload: unknown = JSON.parse(kept.get(TOPIC) ?? '');
    expect(MachineStateSchema.parse(payload)).toEqual(payload);
    expect(payload).toEqual({
      schema: 'drainby.state/1',
      installation: 'lot-a',
      unit: 'blue',
      label: 'Blue trailer',
      place: 'creek',
      waterState: 'wet',
      asOf: '2026-11-25T08:30:00Z',
      validUntil: '2026-11-25T11:30:00Z',
      problem: null,
      advice: {
        action: 'keep-warm',
        partial: false,
        method: null,
        startBy: '2026-11-25T10:30:00Z',
        late: false,
        reasonCode: 'cold-ahead',
      },
      chanceOfDamage: {
        nothing: 0.5,
        'keep-warm': 0.02,
      },
      throughCold: { until: '2026-11-29T18:00:00Z', chanceOfDamage: { 'keep-warm': 0.14 } },
      lowestC: -3.46,
      lowestAt: '2026-11-26T01:10:00Z',
      suspect: false,
      heat: 'furnace-on',
    });
  });

  it('that is unknown says so, and why, and asks for nothing', async () => {
    const broker = await startBroker();
    const { channel } = open(broker.url);
    const unknown = {
      method: null,
      late: null,
      chanceOfDamage: null,
      lowestC: null,
      lowestAt: null,
      suspect: false,
      heat: 'unchanged' as const,
    };
    const problem = { code: 'source-unreachable', message: 'No answer.' };
    await channel.send(telling({ advice: null, figures: unknown, problem }), NEVER);
    const payload: unknown = JSON.parse((await broker.kept(hasOne)).get(TOPIC) ?? '');
    expect(MachineStateSchema.parse(payload)).toEqual(payload);
    expect(payload).toMatchObject({ advice: null, chanceOfDamage: null, problem, heat: 'unchanged' });
  });

  it('takes the place of the one before', async () => {
    const broker = await startBroker();
    const { channel } = open(broker.url);
    await channel.send(telling(), NEVER);
    await channel.send(telling({ label: 'Blue, moved' }), NEVER);
    const kept = await broker.kept((all) => all.get(TOPIC)?.includes('moved') === true);
    expect([...kept.values()].map((text) => (JSON.parse(text) as { label: string }).label)).toEqual([
      'Blue, moved',
    ]);
  });

  it('is given to a broker of version 5 with the seconds that it holds', async () => {
    const broker = await startBroker5();
    const { channel } = open(broker.url, { now: () => NOW + 800.4 });
    await channel.send(telling(), NEVER);
    expect(await broker.next()).toMatchObject({
      version: 5,
      topic: TOPIC,
      retain: true,
      qos: 1,
      expiryS: 9999,
    });
  });

  it('stays on the broker when the program ends: it says itself until when it holds', async () => {
    const broker = await startBroker();
    const { channel } = open(broker.url);
    await channel.send(telling(), NEVER);
    await channel.close();
    expect([...(await broker.kept(hasOne)).keys()]).toEqual([TOPIC]);
  });
});

describe('what is over', () => {
  it('is taken off the broker at start, two days old, before there is anything new to say', async () => {
    const broker = await startBroker();
    await broker.retain(TOPIC, leftOver(NOW - 2 * 86_400));
    const watcher = await watch(broker.url, 'parked/#');
    open(broker.url);
    await watcher.until(({ topic, payload }) => topic === TOPIC && payload === '');
    expect((await broker.kept(isEmpty)).size).toBe(0);
  });

  it('is not taken off once something new stands in its place, however late the broker hands it out', async () => {
    const broker = await startBroker();
    await broker.retain(TOPIC, leftOver(NOW - 2 * 86_400));
    const { channel } = open(broker.url);
    await channel.send(telling(), NEVER);
    const watcher = await watch(broker.url, 'parked/#');
    // What is sent of another unit is behind anything that the channel has sent of this one.
    await channel.send(telling({ unit: 'red' }), NEVER);
    await watcher.until(({ topic }) => topic === 'parked/creek/red/state');
    const kept = await broker.kept((all) => all.size > 0);
    expect([...kept.keys()].toSorted()).toEqual([TOPIC, 'parked/creek/red/state']);
  });

  it('is taken off when its unit is gone, or has moved', async () => {
    const broker = await startBroker();
    const [gone, moved] = ['parked/creek/green/state', 'parked/lake/red/state'];
    await broker.retain(gone, leftOver(NOW + 5000));
    await broker.retain(moved, leftOver(NOW + 5000));
    await broker.retain('parked/creek/red/state', leftOver(NOW + 5000));
    const watcher = await watch(broker.url, 'parked/#');
    open(broker.url);
    for (const topic of [gone, moved])
      await watcher.until((one) => one.topic === topic && one.payload === '');
    expect([...(await broker.kept(hasOne)).keys()]).toEqual(['parked/creek/red/state']);
  });

  it('is taken off while the program runs, though no round tells anything new', async () => {
    const broker = await startBroker();
    const watcher = await watch(broker.url, 'parked/#');
    const { channel } = open(broker.url, { now: () => Date.now() / 1000 });
    const validUntil = Math.ceil(Date.now() / 1000) + 1;
    await channel.send(telling({ validUntil }), NEVER);
    await watcher.until(({ payload }) => payload !== '');
    await watcher.until(({ topic, payload }) => topic === TOPIC && payload === '');
    expect(Date.now() / 1000).toBeGreaterThanOrEqual(validUntil);
  });

  it('is not what somebody else put there, or what another program has just said', async () => {
    const broker = await startBroker();
    const [others, new_] = ['parked/creek/pump/state', 'parked/creek/new/state'];
    await broker.retain(others, 'on');
    const { channel } = open(broker.url);
    await channel.send(telling(), NEVER);
    // A generation with a newer config speaks of a unit that this one does not know.
    const watcher = await watch(broker.url, 'parked/#');
    await broker.retain(new_, leftOver(NOW + 5000));
    await watcher.until(({ topic }) => topic === new_);
    // Both watchers were told in the same turn; what follows is behind anything that the channel would have sent.
    await channel.send(telling(), NEVER);
    await channel.close();
    expect([...(await broker.kept((all) => all.size === 3)).keys()].toSorted()).toEqual(
      [TOPIC, new_, others].toSorted(),
    );
  });

  it('is not what another drainby says under the same topic, be it over or of a unit that is not known here', async () => {
    const broker = await startBroker();
    const other = { installation: Promise.resolve('lot-b'), units: [{ place: 'creek', unit: 'green' }] };
    const { channel: second } = open(broker.url, other);
    await second.send(telling({ unit: 'green' }), NEVER);
    const [past, gone] = ['parked/lake/teal/state', 'parked/lake/grey/state'];
    await broker.retain(past, leftOver(NOW - 5000, 'lot-c'));
    // What the broker hands out comes in the order in which it was left: this one, our own, is the last.
    await broker.retain(gone, leftOver(NOW + 5000));
    const cleared = broker.cleared(gone);
    const { channel } = open(broker.url);
    await cleared;
    await channel.send(telling(), NEVER);
    await channel.close();
    await second.close();
    expect([...(await broker.kept((all) => all.size >= 2)).keys()].toSorted()).toEqual([
      TOPIC,
      'parked/creek/green/state',
      past,
    ]);
  });

  it('is not what another drainby has put in the place of ours', async () => {
    const broker = await startBroker();
    let now = NOW;
    const { channel } = open(broker.url, { now: () => now });
    await channel.send(telling(), NEVER);
    const watcher = await watch(broker.url, 'parked/#');
    await broker.retain(TOPIC, leftOver(NOW + 12_000, 'lot-b'));
    await watcher.until(({ payload }) => payload.includes('lot-b'));
    // The broker's word on this one comes behind what it said of the other.
    const red = telling({ unit: 'red', validUntil: NOW + 40_000 });
    await channel.send(red, NEVER);
    now += 15_000;
    await channel.send(red, NEVER);
    await channel.close();
    const kept = await broker.kept((all) => all.size === 2);
    expect(kept.get(TOPIC)).toContain('lot-b');
  });

  it('is asked for only once it is known which drainby this is', async () => {
    const broker = await startBroker();
    await broker.retain(TOPIC, leftOver(NOW - 5000));
    let know: (installation: string) => void = () => undefined;
    const installation = new Promise<string>((resolve) => {
      know = resolve;
    });
    const { channel } = open(broker.url, { installation });
    const sending = channel.send(telling({ unit: 'red' }), NEVER);
    const cleared = broker.cleared(TOPIC);
    know('lot-a');
    await Promise.all([sending, cleared]);
    expect([...(await broker.kept(hasOne)).keys()]).toEqual(['parked/creek/red/state']);
  });

  it('of a version that did not say which drainby it was is taken off where the unit is known here', async () => {
    const broker = await startBroker();
    const stranger = 'parked/creek/green/state';
    const unsigned = leftOver(NOW - 5000).replace('"installation":"lot-a",', '');
    await broker.retain(stranger, unsigned);
    await broker.retain(TOPIC, unsigned);
    const cleared = broker.cleared(TOPIC);
    open(broker.url);
    await cleared;
    expect([...(await broker.kept(hasOne)).keys()]).toEqual([stranger]);
  });

  it('is never published', async () => {
    const broker = await startBroker();
    const { channel } = open(broker.url);
    await expect(channel.send(telling({ validUntil: NOW }), NEVER)).rejects.toMatchObject({
      retryable: false,
    });
    expect((await broker.kept(isEmpty)).size).toBe(0);
  });
});

describe('a broker', () => {
  async function freePort(): Promise<number> {
    const server = createServer().listen(0, '127.0.0.1');
    await once(server, 'listening');
    const { port } = server.address() as AddressInfo;
    server.close();
    await once(server, 'close');
    return port;
  }

  it('that is away is said once, and the message may be had later', async () => {
    const port = await freePort();
    const pace = { reconnect: 20, patience: 300 };
    const { channel, troubles } = open(`mqtt://127.0.0.1:${port}`, { pace });
    const refused = channel.send(telling(), NEVER);
    await expect(refused).rejects.toMatchObject({ code: 'delivery-unreachable', retryable: true });
    await expect(refused).rejects.toThrow(`127.0.0.1:${port}`);
    expect(troubles).toHaveLength(1);
    const broker = await startBroker({}, port);
    const { channel: patient } = open(broker.url);
    await patient.send(telling(), NEVER);
  });

  it('that comes back is found again, and what ran out meanwhile is taken off it', async () => {
    const broker = await startBroker();
    let now = NOW;
    const { channel } = open(broker.url, { now: () => now });
    await channel.send(telling(), NEVER);
    now += 20_000;
    const cleared = broker.cleared(TOPIC);
    broker.cut();
    await cleared;
    expect((await broker.kept(isEmpty)).size).toBe(0);
  });

  it('that wants a login gets it, and one that refuses it is not told the password in the log', async () => {
    const authenticate = (
      _client: unknown,
      user: unknown,
      password: unknown,
      done: (error: null, ok: boolean) => void,
    ): void => done(null, user === 'drainby' && String(password) === 'correct');
    const broker = await startBroker({ authenticate });
    const login = { user: 'drainby', password: { env: 'BROKER' } };
    const { channel } = open(broker.url, { env: { BROKER: 'correct' } }, login);
    await channel.send(telling(), NEVER);
    const pace = { reconnect: 50, patience: 500 };
    const { channel: refused, troubles } = open(broker.url, { env: { BROKER: 'wrong-one' }, pace }, login);
    const error = await refused.send(telling(), NEVER).catch((reason: unknown) => reason);
    expect(error).toMatchObject({ code: 'delivery-unreachable', retryable: true });
    expect(String(error) + troubles.join(' ')).not.toContain('wrong-one');
  });

  it('is not opened without the password that the config names', () => {
    expect(() => open('mqtt://127.0.0.1:1', {}, { user: 'x', password: { env: 'NOT_SET' } })).toThrow(
      /NOT_SET holds no password for the MQTT broker/,
    );
  });

  it('carries no messages', async () => {
    const broker = await startBroker();
    const { channel } = open(broker.url);
    await expect(channel.send(letter(), NEVER)).rejects.toMatchObject({
      code: 'delivery-config',
      retryable: false,
    });
  });
});
