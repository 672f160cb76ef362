import tzLookup from '@photostructure/tz-lookup';
import { DEFAULT_POLICY, type Policy } from '../decision/policy.ts';
import type { UnitModel } from '../model/unit.ts';
import { HOUR_S } from '../quantity/instant.ts';
import type {
  Config,
  DeliveryConfig,
  EmailConfig,
  MqttStateConfig,
  PersonConfig,
  PlaceConfig,
  UnitConfig,
  WeatherConfig,
  WebhookConfig,
} from './config.ts';
import { deriveReadings, deriveSecret } from './derive-readings.ts';
import { deriveServiceTerms } from './derive-service.ts';
import { deriveUnit } from './derive-unit.ts';
import { deriveWeather } from './derive-weather.ts';
import { deriveWeb } from './derive-web.ts';
import type { Origin } from './origin.ts';
import { FROM_COSTS } from './policy.ts';
import { formatPath } from './problem.ts';
import type { ParsedConfig } from './schema.ts';

/** As far ahead as a single forecast is worth acting on at all. */
const HEADS_UP_HOURS = 120;

/** From a valid file to the frozen config: defaults filled in, references resolved, models built. */
export function deriveConfig(parsed: ParsedConfig, origin: Origin): Config {
  const weather = deriveWeather(parsed.weather, origin);
  const places = parsed.places.map((place) => derivePlace(place, weather));
  const policy = derivePolicy(parsed.policy);
  return deepFreeze({
    file: origin.file,
    display: parsed.display,
    weather,
    places,
    units: parsed.units.map((unit) =>
      inTheirWords(
        deriveUnit(unit, { elevationM: elevationOf(unit.place, places), policy }),
        parsed.display.words,
      ),
    ),
    people: parsed.people.map((person) => derivePerson(person, parsed, places)),
    delivery: deriveDelivery(parsed.delivery, origin),
    policy,
    schedule: parsed.schedule,
    readings: deriveReadings(parsed, origin),
    store: { path: origin.resolvePath(parsed.store.path) },
    heartbeat: deriveHeartbeat(parsed.heartbeat, origin),
    web: deriveWeb(parsed.web),
    given: [...givenPaths(origin.written, [])],
  });
}

/** The catalogue's parts are named in the words that readers are used to; what the user named stays so. */
function inTheirWords(unit: UnitConfig, { faucet }: Config['display']['words']): UnitConfig {
  const { own, lines = [] } = unit.spec.parts;
  const theirs = new Set([...own, ...lines].map(({ id }) => id));
  const named = (model: UnitModel): UnitModel => ({
    ...model,
    parts: model.parts.map((part) =>
      theirs.has(part.id) ? part : { ...part, label: part.label.replace(/\bfaucet\b/, faucet) },
    ),
  });
  return {
    ...unit,
    model: named(unit.model),
    keptWarm: unit.keptWarm === null ? null : named(unit.keptWarm),
  };
}

function derivePlace(place: ParsedConfig['places'][number], weather: WeatherConfig): PlaceConfig {
  return {
    id: place.id,
    label: place.label ?? place.id,
    latitude: place.latitude,
    longitude: place.longitude,
    elevationM: place.elevation ?? null,
    timeZone: place.timeZone ?? tzLookup(place.latitude, place.longitude),
    lie: place.lie,
    coldSpotK: place.coldSpot,
    managers: place.managers ?? [],
    water: deriveServiceTerms(place.water),
    sources: place.sources ?? weather.sources.map((source) => source.id),
  };
}

function elevationOf(id: string, places: readonly PlaceConfig[]): number | null {
  return places.find((place) => place.id === id)?.elevationM ?? null;
}

type ParsedPerson = ParsedConfig['people'][number];

function derivePerson(
  person: ParsedPerson,
  parsed: ParsedConfig,
  places: readonly PlaceConfig[],
): PersonConfig {
  const unit = parsed.units.find((one) => one.contacts.includes(person.id));
  const place = places.find((one) => one.id === unit?.place || one.managers.includes(person.id));
  const channels = person.channels ?? reachingChannels(person, parsed.delivery);
  return {
    id: person.id,
    name: person.name,
    email: person.email ?? null,
    text: person.text ?? null,
    words: wordsOf(person.words, parsed.display.words),
    temperature: person.temperature ?? parsed.display.temperature,
    timeZone: person.timeZone ?? place?.timeZone ?? 'UTC',
    quiet: person.quiet ?? null,
    headsUpHours: person.headsUp === undefined ? HEADS_UP_HOURS : person.headsUp / HOUR_S,
    free: person.free ?? null,
    channels,
    urgent: person.urgent ?? channels,
    reach: person.channels === undefined && person.urgent === undefined ? 'all' : 'first',
    stillWatching: person.stillWatching,
  };
}

function wordsOf(own: ParsedPerson['words'], usual: Config['display']['words']): Config['display']['words'] {
  return {
    faucet: own.faucet ?? usual.faucet,
    trailer: own.trailer ?? usual.trailer,
    gas: own.gas ?? usual.gas,
  };
}

function reachingChannels(
  person: ParsedPerson,
  delivery: ParsedConfig['delivery'],
): PersonConfig['channels'] {
  return [
    ...(delivery.email && person.text !== undefined ? (['text'] as const) : []),
    ...(delivery.email && person.email !== undefined ? (['email'] as const) : []),
    ...(delivery.webhook ? (['webhook'] as const) : []),
    ...(delivery.file ? (['file'] as const) : []),
    ...(delivery.console ? (['console'] as const) : []),
  ];
}

function deriveDelivery(delivery: ParsedConfig['delivery'], origin: Origin): DeliveryConfig {
  return {
    email: delivery.email ? deriveEmail(delivery.email, origin) : null,
    file: delivery.file ? { directory: origin.resolvePath(delivery.file.directory) } : null,
    webhook: delivery.webhook ? deriveWebhook(delivery.webhook, origin) : null,
    mqtt: delivery.mqtt ? deriveMqttState(delivery.mqtt, origin) : null,
    console: delivery.console,
    leaseSeconds: delivery.lease,
  };
}

type ParsedDelivery = ParsedConfig['delivery'];

function deriveWebhook(webhook: NonNullable<ParsedDelivery['webhook']>, origin: Origin): WebhookConfig {
  const { url, secretEnv: env, secretFile: file, allowPrivate } = webhook;
  return { url, secret: deriveSecret({ env, file }, origin), allowPrivate };
}

function deriveMqttState(mqtt: NonNullable<ParsedDelivery['mqtt']>, origin: Origin): MqttStateConfig {
  const { url, user = null, passwordEnv: env, passwordFile: file, topic } = mqtt;
  return { url, user, password: deriveSecret({ env, file }, origin), topic };
}

const USUAL_PORT = { none: 25, starttls: 587, tls: 465 } as const;

function deriveEmail(email: NonNullable<ParsedConfig['delivery']['email']>, origin: Origin): EmailConfig {
  const { host, security, from, user = null } = email;
  return {
    host,
    port: email.port ?? USUAL_PORT[security],
    security,
    from,
    user,
    password: deriveSecret({ env: email.passwordEnv, file: email.passwordFile }, origin),
  };
}

/** What is inside stays in use after a partial drain: no more is accepted than where nothing is done. */
function deriveTolerance(
  given: Exclude<ParsedConfig['policy']['tolerance'], typeof FROM_COSTS>,
): Policy['tolerance'] {
  const { nothing, 'keep-warm': keepWarm, 'drain-part': drainPart = nothing, drain, winterize } = given;
  return { nothing, 'keep-warm': keepWarm, 'drain-part': drainPart, drain, winterize };
}

function derivePolicy(policy: ParsedConfig['policy']): Policy {
  return {
    windowHours: policy.window / HOUR_S,
    tolerance: policy.tolerance === FROM_COSTS ? DEFAULT_POLICY.tolerance : deriveTolerance(policy.tolerance),
    toleranceFrom: policy.tolerance === FROM_COSTS ? 'costs' : 'stated',
    caution: policy.caution,
    costs: policy.costs,
    sustained: { atC: policy.sustained.at, hours: policy.sustained.hours },
    rule: policy.rule,
    thresholds: policy.thresholds,
    marginMinutes: policy.margin / 60,
    callAheadHours: policy.callAhead / HOUR_S,
    callAtOnceChance: policy.callAtOnceChance,
    daylight: policy.daylight,
    headsUpChance: policy.headsUpChance,
  };
}

function deriveHeartbeat(heartbeat: ParsedConfig['heartbeat'], origin: Origin): Config['heartbeat'] {
  if (heartbeat === undefined) return null;
  const { url, urlEnv: env, urlFile: file, every } = heartbeat;
  const address = url ?? deriveSecret({ env, file }, origin);
  return address === null ? null : { url: address, everySeconds: every };
}

function* givenPaths(value: unknown, path: readonly PropertyKey[]): Generator<string> {
  if (path.length > 0) yield formatPath(path);
  if (typeof value !== 'object' || value === null) return;
  const entries = Array.isArray(value) ? value.entries() : Object.entries(value);
  for (const [key, child] of entries) yield* givenPaths(child, [...path, key]);
}

/** Freezes the value and all that it holds. */
function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !ArrayBuffer.isView(value) && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const child of Object.values(value)) deepFreeze(child);
  }
  return value;
}
