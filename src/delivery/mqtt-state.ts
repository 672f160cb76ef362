/** How each unit stands, kept by an MQTT broker for machines: retained, and only as long as it holds. */
import type { MqttClient } from 'mqtt';
import type { MqttStateConfig } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Channel, OnTrouble } from './channel.ts';
import { machineState } from './machine-message.ts';
import { keepConnection } from '../broker/connection.ts';
import { retainedStates, stateTopic, stateTopics } from './retained-states.ts';
import type { StateOf } from './retained-states.ts';
import { readSecret } from './secret.ts';
import type { Environment } from './secret.ts';

export interface MqttStateOptions {
  readonly env: Environment;
  readonly now: () => EpochSeconds;
  /** Those that there are: the state of any other is taken off the broker. */
  readonly units: readonly StateOf[];
  /** Which drainby this is: of others that share the topic, nothing is taken off. */
  readonly installation: Promise<string>;
  readonly onTrouble?: OnTrouble;
  readonly pace?: Partial<Pace>;
}

/** In milliseconds. */
interface Pace {
  readonly reconnect: number;
  /** An attempt waits so long for a broker that is away. */
  readonly patience: number;
  /** At the end, for what is being taken off the broker. */
  readonly lastWord: number;
}

const PACE: Pace = { reconnect: 10_000, patience: 10_000, lastWord: 2000 };

/**
 * Connects at once, and takes what has run out off the broker for as long as it is open, also while there is nothing
 * new to say. Nothing is taken off at the end: each message says until when it holds.
 *
 * @throws {DeliveryError} 'delivery-config' for a password that is not there.
 */
export function openMqttState(config: MqttStateConfig, options: MqttStateOptions): Channel {
  const { now, units, installation, onTrouble } = options;
  const pace = { ...PACE, ...options.pace };
  const password = readSecret(config.password, options.env, PASSWORD);
  const broker = new URL(config.url).host;
  const clearing = new Set<Promise<unknown>>();
  const clear = (topic: string): void => {
    const client = connection.current();
    if (client === null) return;
    const clearance = client.publishAsync(topic, '', { qos: 1, retain: true }).catch(() => undefined);
    clearing.add(clearance);
    void clearance.then(() => clearing.delete(clearance));
  };
  let self: string | null = null;
  const retained = retainedStates({ prefix: config.topic, units, installation: () => self, now, clear });
  const connection = keepConnection({
    url: config.url,
    user: config.user,
    password,
    reconnectMs: pace.reconnect,
    onConnect: (client) => {
      // What the broker keeps is asked for only when it is known what of it is ours.
      void installation.then((known) => {
        self = known;
        if (client.connected) subscribe(client, config.topic, onTrouble);
      });
    },
    onMessage: (topic, payload, { retain }) => retained.put(topic, payload.toString('utf8'), retain),
    onLost: (reason) => onTrouble?.(`${LOST} (${broker})`, new Error(reason || 'no answer')),
  });
  return {
    id: 'mqtt',
    async send({ state }, signal) {
      if (state === undefined) throw noState();
      const topic = stateTopic(config.topic, state);
      const validForS = Math.floor(state.validUntil - now());
      // What has run out meanwhile would only be taken off again.
      if (validForS < 1) throw tooLate(state.unit);
      self = await installation;
      const payload = JSON.stringify(machineState(state, self));
      const stop = AbortSignal.any([signal, AbortSignal.timeout(pace.patience)]);
      // Before it is sent: what the broker kept until now may arrive meanwhile, and must not have this one taken off.
      retained.put(topic, payload, false);
      try {
        const client = await connection.connected(stop);
        await untilStopped(publish(client, { topic, payload, validForS }), stop);
      } catch (error) {
        retained.put(topic, '', false);
        throw unreachable(broker, error);
      }
    },
    async close() {
      retained.close();
      await Promise.race([Promise.all(clearing), wait(pace.lastWord)]);
      await connection.close();
    },
  };
}

const PASSWORD = { what: 'password for the MQTT broker', key: 'delivery.mqtt.password' };
const LOST = 'The MQTT broker for the states of units cannot be reached; it is tried again until it can';
const UNSEEN =
  'The MQTT broker does not show what it keeps of the states of units: what has run out may stay on it. Look at its rules for this user.';

/** A broker hands out what it retains to whoever subscribes: so we learn what earlier runs have left. */
function subscribe(client: MqttClient, prefix: string, onTrouble: OnTrouble | undefined): void {
  client.subscribe(stateTopics(prefix), { qos: 1 }, (error) => {
    if (error !== null && client.connected) onTrouble?.(UNSEEN, error);
  });
}

interface Publication {
  readonly topic: string;
  readonly payload: string;
  readonly validForS: number;
}

/** A broker that speaks MQTT 5 drops it by itself when its time is over. */
async function publish(client: MqttClient, { topic, payload, validForS }: Publication): Promise<void> {
  const expiry =
    client.options.protocolVersion === 5 ? { properties: { messageExpiryInterval: validForS } } : {};
  await client.publishAsync(topic, payload, { qos: 1, retain: true, ...expiry });
}

/** A broker that is lost half way gets it again by itself; the attempt does not wait for that. */
async function untilStopped(publishing: Promise<void>, signal: AbortSignal): Promise<void> {
  publishing.catch(() => undefined);
  const stopped = new Promise<never>((_resolve, reject) => {
    const onAbort = (): void => reject(new Error('the message was not confirmed in time'));
    signal.addEventListener('abort', onAbort, { once: true });
    if (signal.aborted) onAbort();
  });
  await Promise.race([publishing, stopped]);
}

function wait(ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, ms).unref();
  });
}

function unreachable(broker: string, cause: unknown): DeliveryError {
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new DeliveryError('delivery-unreachable', `The MQTT broker ${broker} did not take it: ${reason}.`, {
    retryable: true,
    hint: 'Check delivery.mqtt.url, user and password, and that the broker lets this user publish.',
  });
}

function noState(): DeliveryError {
  return new DeliveryError('delivery-config', 'Only the states of units go over MQTT, and no messages.', {
    hint: 'Give people another channel.',
  });
}

function tooLate(unit: string): DeliveryError {
  return new DeliveryError('delivery-unreachable', `The state of ${unit} is no longer of use.`);
}
