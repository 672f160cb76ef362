/** Temperatures that sensors publish on an MQTT broker. */
import type { MqttClient } from 'mqtt';
import { keepConnection } from '../broker/connection.ts';
import { ConfigError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import { complaints, type Trouble } from './complaints.ts';
import { Latest, type LatestOptions, type WriteResult } from './latest.ts';
import { parsePayload, type PayloadRule, type Reported } from './parse.ts';
import { isTopicFilter, topicMatches } from './topic-parse.ts';

export interface MqttSubscription extends PayloadRule {
  /** A topic filter: see `isTopicFilter`. */
  readonly topic: string;
  readonly temperature: TemperatureUnit;
  /** Ids; one of the two is given. */
  readonly place: string | null;
  readonly unit: string | null;
  /** Null: outside. */
  readonly zone: string | null;
}

export interface MqttLog {
  info(fields: object, message: string): void;
  warn(fields: object, message: string): void;
  error(fields: object, message: string): void;
}

export interface MqttOptions {
  /** `mqtt://host:1883`, or `mqtts://`. */
  readonly url: string;
  readonly user: string | null;
  readonly password: string | null;
  readonly subscriptions: readonly MqttSubscription[];
  /** Keeps all or none. May reject with a StoreError: what is in hand is then tried again. */
  readonly write: (reported: readonly Reported[]) => Promise<WriteResult>;
  /** Why a reading cannot be taken, so that it takes no good one's place; null: it can. */
  readonly check: (reported: Reported) => string | null;
  readonly now: () => EpochSeconds;
  readonly log: MqttLog;
  readonly pace?: Partial<MqttPace>;
}

/** In milliseconds. */
export interface MqttPace {
  /** From the first unwritten value of a sensor until it, or the last one after it, is written. */
  readonly write: number;
  /** Before the broker is tried again. */
  readonly reconnect: number;
}

export interface MqttReadings {
  /** Writes what is in hand, then lets go of the broker. */
  close(): Promise<void>;
}

const PACE: MqttPace = { write: 60_000, reconnect: 10_000 };

/**
 * Listens until it is closed; a broker that cannot be reached is tried again without end.
 *
 * @throws ConfigError when the address is none of a broker, or a topic none that can be subscribed to
 */
export function openMqtt(options: MqttOptions): MqttReadings {
  const { log, check, now } = options;
  checkAddress(options);
  const pace = { ...PACE, ...options.pace };
  const told = complaints(
    (sensor, text) => log.warn({ topic: topicOf(sensor), problem: text }, LEFT_OUT),
    now,
  );
  const onMistake = (sensor: string, text: string): void => told.bad(sensor, 'refused', text);
  const latest = new Latest({ ...writing(options), onMistake, everyMs: pace.write });
  let isOpen = true;
  const onMessage = (topic: string, payload: Uint8Array, { retain }: { readonly retain: boolean }): void => {
    if (!isOpen) return;
    options.subscriptions.forEach((subscription, index) => {
      if (!topicMatches(subscription.topic, topic)) return;
      const id = `${index} ${topic}`;
      const taken = toTaken(payload, subscription, { isOld: retain, now: now(), check });
      if ('trouble' in taken) told.bad(id, taken.trouble, taken.text);
      else if (latest.put({ id, at: taken.ownTime }, taken.reported)) told.good(id);
      else told.bad(id, 'many', TOO_MANY);
    });
  };
  const broker = shown(options.url);
  const connection = keepConnection({
    url: options.url,
    user: options.user,
    password: options.password,
    reconnectMs: pace.reconnect,
    onConnect: (client) => subscribe(client, broker, options),
    onMessage,
    onLost: (reason) => log.warn({ broker, ...(reason === '' ? {} : { error: reason }) }, LOST),
  });
  return {
    async close() {
      isOpen = false;
      await latest.close();
      await connection.close();
    },
  };
}

/** Writes; that it cannot is said once, until it can. */
function writing({ write, log }: MqttOptions): Pick<LatestOptions, 'write' | 'onTrouble'> {
  let trouble = '';
  return {
    async write(reported) {
      const result = await write(reported);
      trouble = '';
      return result;
    },
    onTrouble(error) {
      const message = error instanceof Error ? error.message : String(error);
      if (message !== trouble) log.error({ error: message }, UNWRITTEN);
      trouble = message;
    },
  };
}

const UNWRITTEN = 'What sensors reported cannot be written; it is tried again as long as the program runs.';

/** Protocols that the broker is spoken to with. */
const PROTOCOLS = ['mqtt:', 'mqtts:'];

/** @throws ConfigError */
function checkAddress({ url, subscriptions }: MqttOptions): void {
  const problems = subscriptions
    .filter(({ topic }) => !isTopicFilter(topic))
    .map(({ topic }) => `"${topic}" is no topic of MQTT that can be subscribed to.`);
  if (!PROTOCOLS.includes(protocolOf(url)))
    problems.push(
      `${shown(url)} is no address of an MQTT broker. Write it like mqtt://127.0.0.1:1883 or mqtts://broker.example.org:8883.`,
    );
  if (problems.length > 0) throw new ConfigError('config-invalid', problems);
}

function subscribe(client: MqttClient, broker: string, { subscriptions, log }: MqttOptions): void {
  const topics = [...new Set(subscriptions.map(({ topic }) => topic))];
  client.subscribe(topics, { qos: 1 }, (error, _asked, answer) => {
    const refused = topics.filter((_topic, index) => Number(answer?.granted[index] ?? 0) >= REFUSAL);
    const taken = topics.filter((topic) => !refused.includes(topic));
    if (refused.length > 0) log.error({ broker, topics: refused }, REFUSED);
    else if (error !== null) {
      if (client.connected) log.error({ broker, error: error.message }, REFUSED);
      return;
    }
    if (taken.length > 0) log.info({ broker, topics: taken }, 'Readings are taken from the MQTT broker.');
  });
}

/** Return code of a SUBACK: MQTT 3.1.1, 3.9.3. */
const REFUSAL = 0x80;
const LOST = 'The MQTT broker cannot be reached; it is tried again until it can.';
const REFUSED = 'The MQTT broker refuses to hand out what sensors publish. Look at its rules for this user.';

type Taken =
  | {
      readonly reported: Reported;
      /** Null: it is of the time at which it came. */
      readonly ownTime: EpochSeconds | null;
    }
  | { readonly trouble: Trouble; readonly text: string };

interface Arrival extends Pick<MqttOptions, 'check'> {
  /** The broker kept it for those who come later. */
  readonly isOld: boolean;
  readonly now: EpochSeconds;
}

function toTaken(payload: Uint8Array, subscription: MqttSubscription, { isOld, now, check }: Arrival): Taken {
  const result = parsePayload(payload, subscription);
  if (!result.ok) return { trouble: 'unreadable', text: `A message cannot be read: ${result.problem}.` };
  const { temperature, at: ownTime } = result;
  if (ownTime === null && isOld) return { trouble: 'kept', text: RETAINED };
  const { place, unit, zone, temperature: scale } = subscription;
  const reported = { place, unit, zone, temperature, scale, at: ownTime ?? now };
  const problem = check(reported);
  return problem === null ? { reported, ownTime } : { trouble: 'refused', text: problem };
}

const RETAINED =
  'The broker kept a message for those who come later, and it does not say when it was measured: it is left out.';
const TOO_MANY = 'More readings came at once than can be kept in hand. Let sensors report less often.';
const LEFT_OUT = 'A sensor’s message is left out.';

function topicOf(sensor: string): string {
  return sensor.slice(sensor.indexOf(' ') + 1);
}

function protocolOf(url: string): string {
  return URL.canParse(url) ? new URL(url).protocol : '';
}

/** Without what the address may hold of user and password. */
function shown(url: string): string {
  return url.replace(/\/\/[^/]*@/, '//');
}
