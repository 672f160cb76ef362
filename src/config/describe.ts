import type { ServiceTerms } from '../decision/service.ts';
import { formatClockSpan, type FreeTime } from '../quantity/clock-time.ts';
import type { Config, EmailConfig, PlaceConfig, SourceConfig, WebConfig, WebhookConfig } from './config.ts';
import { isOnlyHere } from './derive-web.ts';
import { FROM_COSTS } from './policy.ts';
import { describeUnit, leftOut, type UnitDescription } from './describe-unit.ts';

/** Whether the file says so or drainby filled it in. */
export type From = 'config' | 'default' | 'derived';

export interface PlaceDescription {
  readonly id: string;
  readonly label: string;
  readonly latitude: number;
  readonly longitude: number;
  /** Null: the weather service takes the ground's. */
  readonly elevationM: number | null;
  readonly timeZone: string;
  readonly timeZoneFrom: From;
  readonly lie: string;
  readonly coldSpotK: number;
  readonly sources: readonly string[];
  readonly managers: readonly string[];
  readonly water: ServiceTerms | null;
}

export interface PersonDescription {
  readonly id: string;
  readonly name: string;
  readonly email: string | null;
  readonly text: string | null;
  readonly channels: readonly string[];
  readonly urgent: readonly string[];
  readonly reach: 'all' | 'first';
  readonly temperature: string;
  readonly timeZone: string;
  readonly timeZoneFrom: From;
  readonly quiet: string | null;
  readonly free: readonly FreeTime[] | null;
  readonly headsUpHours: number;
  readonly stillWatching: boolean;
}

export interface Setting {
  readonly key: string;
  readonly value: number | boolean | string;
  readonly unit: string;
  readonly from: From;
}

/** Whom the links in messages bring to the pages. */
export type LinkReach = 'none' | 'this-machine' | 'readers';

/** What a config means, for `drainby config`. Fields may be added, never change meaning. */
export interface ConfigDescription {
  readonly schema: 'drainby.config/1';
  readonly file: string;
  readonly store: string;
  readonly schedule: string;
  readonly horizonHours: number;
  readonly sources: readonly SourceConfig[];
  readonly contact: string | null;
  readonly compare: boolean;
  readonly learn: boolean;
  readonly errorModel: Config['weather']['errorModel'];
  readonly readings: Config['readings'];
  readonly delivery: {
    readonly email: EmailConfig | null;
    readonly fileDirectory: string | null;
    /** Its path may hold a secret. */
    readonly webhook: {
      readonly host: string;
      readonly signed: boolean;
      readonly allowPrivate: boolean;
    } | null;
    readonly mqtt: { readonly host: string; readonly topic: string } | null;
    readonly console: boolean;
    readonly leaseSeconds: number;
  };
  /** Null: no sign of life is sent. */
  readonly heartbeatSeconds: number | null;
  /** Null: nothing is served. */
  readonly web: (WebConfig & { readonly links: LinkReach }) | null;
  readonly places: readonly PlaceDescription[];
  readonly units: readonly UnitDescription[];
  readonly people: readonly PersonDescription[];
  readonly policy: readonly Setting[];
}

export function describeConfig(config: Config): ConfigDescription {
  const given = new Set(config.given);
  return {
    schema: 'drainby.config/1',
    file: config.file,
    store: config.store.path,
    schedule: config.schedule,
    horizonHours: config.weather.horizonHours,
    sources: config.weather.sources.map(describeSource),
    contact: config.weather.contact,
    compare: config.weather.compare,
    learn: config.weather.learn,
    errorModel: config.weather.errorModel,
    readings: config.readings,
    delivery: describeDelivery(config),
    heartbeatSeconds: config.heartbeat?.everySeconds ?? null,
    web: config.web === null ? null : { ...config.web, links: linkReach(config.web) },
    places: config.places.map((place, index) => describePlace(place, zoneFrom(given, `places[${index}]`))),
    units: config.units.map((unit, index) => describeUnit(unit, leftOut(given, index))),
    people: config.people.map((person, index) => ({
      ...person,
      timeZoneFrom: zoneFrom(given, `people[${index}]`),
      quiet: person.quiet === null ? null : formatClockSpan(person.quiet),
    })),
    policy: describePolicy(config, given),
  };
}

/** What follows the path of an address may be a key. */
function describeSource(source: SourceConfig): SourceConfig {
  const hidden = Object.entries(source).flatMap(([key, value]: [string, unknown]) => {
    const [address, ...rest] = typeof value === 'string' ? value.split(/[?#]/u) : [];
    return key.endsWith('Url') && rest.length > 0 ? [[key, `${address}?[hidden]`]] : [];
  });
  return { ...source, ...(Object.fromEntries(hidden) as Partial<SourceConfig>) } as SourceConfig;
}

function describeDelivery({ delivery }: Config): ConfigDescription['delivery'] {
  const { email, file, webhook, mqtt, console, leaseSeconds } = delivery;
  return {
    email,
    fileDirectory: file?.directory ?? null,
    webhook: webhook === null ? null : describeWebhook(webhook),
    mqtt: mqtt === null ? null : { host: new URL(mqtt.url).host, topic: mqtt.topic },
    console,
    leaseSeconds,
  };
}

function describeWebhook({ url, secret, allowPrivate }: WebhookConfig) {
  return { host: new URL(url).host, signed: secret !== null, allowPrivate };
}

function linkReach({ publicUrl }: WebConfig): LinkReach {
  if (publicUrl === null) return 'none';
  return isOnlyHere(publicUrl) ? 'this-machine' : 'readers';
}

function zoneFrom(given: ReadonlySet<string>, path: string): From {
  return given.has(`${path}.timeZone`) ? 'config' : 'derived';
}

function describePlace(place: PlaceConfig, timeZoneFrom: From): PlaceDescription {
  return { ...place, timeZoneFrom };
}

type Set = (key: string, value: Setting['value'], unit?: string) => Setting;

function costSettings({ costs }: Config['policy'], setting: Set): readonly Setting[] {
  const { currency, repairs, ...prices } = costs;
  return [
    setting('costs.currency', currency),
    ...Object.entries(prices).map(([name, price]) => setting(`costs.${name}`, price, currency)),
    ...Object.entries(repairs).map(([name, price]) => setting(`costs.repairs.${name}`, price, currency)),
  ];
}

function describePolicy({ policy }: Config, given: ReadonlySet<string>): readonly Setting[] {
  const setting = (key: string, value: Setting['value'], unit = ''): Setting => {
    return { key, value, unit, from: given.has(`policy.${key}`) ? 'config' : 'default' };
  };
  return [
    setting('window', policy.windowHours, 'h'),
    ...(policy.toleranceFrom === 'costs'
      ? [setting('tolerance', FROM_COSTS)]
      : Object.entries(policy.tolerance).map(([action, chance]) => setting(`tolerance.${action}`, chance))),
    setting('caution', policy.caution),
    ...costSettings(policy, setting),
    setting('sustained.at', policy.sustained.atC, '°C'),
    setting('sustained.hours', policy.sustained.hours, 'h'),
    setting('rule', policy.rule),
    setting('thresholds.blocked.rigid', policy.thresholds.blocked.rigid),
    setting('thresholds.blocked.flexible', policy.thresholds.blocked.flexible),
    setting('thresholds.solid', policy.thresholds.solid),
    setting('margin', policy.marginMinutes, 'min'),
    setting('callAhead', policy.callAheadHours, 'h'),
    setting('callAtOnceChance', policy.callAtOnceChance),
    setting('daylight', policy.daylight),
    setting('headsUpChance', policy.headsUpChance),
  ];
}
