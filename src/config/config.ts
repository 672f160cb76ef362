import type { Policy, Work } from '../decision/policy.ts';
import type { Kit, Route } from '../model/catalogue-work.ts';
import type { ServiceTerms } from '../decision/service.ts';
import type { UnitModel, UnitSpec } from '../model/unit.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { FreeTime } from '../quantity/clock-time.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';

/** A config file read, checked and derived: base units, defaults filled in, paths absolute, frozen. */
export interface Config {
  readonly file: string;
  readonly display: Display;
  readonly weather: WeatherConfig;
  readonly places: readonly PlaceConfig[];
  readonly units: readonly UnitConfig[];
  readonly people: readonly PersonConfig[];
  readonly delivery: DeliveryConfig;
  readonly policy: Policy;
  /** Cron expression, UTC. */
  readonly schedule: string;
  readonly store: { readonly path: string };
  readonly readings: ReadingsConfig;
  /** A sign of life for a watcher elsewhere; null: none. */
  readonly heartbeat: HeartbeatConfig | null;
  /** Where POST /readings and the pages of answers are served; null: nothing is served. */
  readonly web: WebConfig | null;
  /** Paths that the file itself gives, such as `policy.window` or `places[0].timeZone`; the rest are defaults. */
  readonly given: readonly string[];
}

export interface WebConfig {
  readonly listen: string;
  /** Without a slash at its end; null: readers cannot reach the pages, and messages offer no links. */
  readonly publicUrl: string | null;
}

export interface Display {
  readonly temperature: TemperatureUnit;
  readonly length: 'm' | 'ft';
  readonly words: {
    readonly faucet: 'faucet' | 'tap';
    readonly trailer: 'trailer' | 'caravan';
    readonly gas: 'propane' | 'gas';
  };
}

export type ErrorModel =
  | { readonly kind: 'none' }
  | {
      readonly kind: 'growing';
      readonly atStartK: number;
      readonly perDayK: number;
      readonly members: number;
    };

export interface OpenMeteoConfig {
  readonly id: string;
  readonly kind: 'open-meteo';
  readonly baseUrl: string;
  /** It is the public service, with its terms, and no server of one's own. */
  readonly isPublic: boolean;
  readonly nightBiasK: number;
  /** Name of the environment variable that may hold a key; null: none. */
  readonly apiKeyEnv: string | null;
  readonly staleAfterHours: number;
  /** Models whose members are pooled with the forecast; may be empty. */
  readonly ensembles: readonly string[];
  readonly ensembleUrl: string;
  /** Null: what it would tell is not asked for. */
  readonly archiveUrl: string | null;
  readonly previousRunsUrl: string | null;
  /** Weighted calls; null: no limit is set, and whether the public one holds hangs on the key. */
  readonly callsPerDay: number | null;
}

export type SourceConfig =
  | OpenMeteoConfig
  | {
      readonly id: string;
      readonly kind: 'nws' | 'met-norway';
      readonly baseUrl: string;
      /** How much too warm its clear calm nights come out. */
      readonly nightBiasK: number;
      readonly staleAfterHours: number;
    }
  | {
      readonly id: string;
      readonly kind: 'file';
      /** Absolute. */
      readonly path: string;
      /** Null: a file has no age limit. */
      readonly staleAfterHours: number | null;
    };

export interface WeatherConfig {
  readonly horizonHours: number;
  readonly sources: readonly SourceConfig[];
  /** How services can reach whoever runs this; null: not said. */
  readonly contact: string | null;
  readonly compare: boolean;
  readonly learn: boolean;
  readonly errorModel: ErrorModel;
}

export interface HeartbeatConfig {
  /** In the file itself, or where it is. */
  readonly url: string | Secret;
  readonly everySeconds: number;
}

/** Where a secret is; read when it is used, never kept in the config. */
export type Secret = { readonly env: string } | { readonly file: string };

export interface ReadingsConfig {
  /** Of POST /readings; null: nothing is taken in that way. */
  readonly token: Secret | null;
  readonly mqtt: MqttConfig | null;
}

export interface MqttConfig {
  readonly url: string;
  readonly user: string | null;
  readonly password: Secret | null;
  readonly subscriptions: readonly MqttSubscription[];
}

export interface MqttSubscription {
  readonly topic: string;
  readonly path: string | null;
  readonly timePath: string | null;
  readonly temperature: TemperatureUnit;
  readonly place: string;
  /** Null: it reads the place's own air. */
  readonly unit: string | null;
  readonly zone: string;
}

export const LIES = ['hollow', 'valley', 'bench', 'ridge', 'town', 'unknown'] as const;
export type Lie = (typeof LIES)[number];

export interface PlaceConfig {
  readonly id: string;
  readonly label: string;
  readonly latitude: number;
  readonly longitude: number;
  readonly elevationM: number | null;
  readonly timeZone: string;
  readonly lie: Lie;
  /** How much colder the user's spot is than the forecast's; K. */
  readonly coldSpotK: number;
  /** Source ids in order; the first usable one wins. */
  readonly sources: readonly string[];
  /** Ids of people who hear of all its units in one message. */
  readonly managers: readonly string[];
  /** Its water service; null: nothing is known to end. */
  readonly water: ServiceTerms | null;
}

export interface UnitConfig {
  readonly id: string;
  readonly label: string;
  readonly place: string;
  readonly attended: boolean;
  readonly spec: UnitSpec;
  readonly model: UnitModel;
  /** The same as somebody keeps it warm for the night; null: it cannot be. */
  readonly keptWarm: UnitModel | null;
  /** Gas on board; null: not said, or no heat. */
  readonly gasKg: number | null;
  /** As the config states it; a newer `mark` holds over it. */
  readonly water: UnitWater;
  readonly waterSince: EpochSeconds | null;
  readonly contacts: readonly string[];
  readonly work: Work;
  readonly kit: Kit;
  /** How it is winterized with antifreeze, and how much goes in. */
  readonly route: Route;
  /** The config's, with what the unit has of its own. */
  readonly policy: Policy;
  readonly serviceWork: ServiceWork;
  readonly waterUse: WaterUse | null;
}

/** Minutes of work that the place's water service asks for. */
export interface ServiceWork {
  readonly fillMinutes: number;
  readonly dumpMinutes: number;
}

/** In litres; null: not known. */
export interface WaterUse {
  readonly perDayLitres: number;
  readonly onBoardLitres: number | null;
  readonly tankLitres: number | null;
}

export interface PersonConfig {
  readonly id: string;
  readonly name: string;
  readonly email: string | null;
  /** At a gateway that makes text messages of mails. */
  readonly text: string | null;
  readonly words: Display['words'];
  readonly temperature: TemperatureUnit;
  readonly timeZone: string;
  /** Minutes after local midnight; may wrap. Null: none. */
  readonly quiet: { readonly fromMinute: number; readonly toMinute: number } | null;
  /** How far ahead a heads-up is wanted. */
  readonly headsUpHours: number;
  /** When this person can work, by the clock of their own zone; null: at any hour. */
  readonly free: readonly FreeTime[] | null;
  readonly channels: readonly PersonChannel[];
  /** For what cannot wait. */
  readonly urgent: readonly PersonChannel[];
  /** `all`: every channel at once; `first`: in order, until one takes the message. */
  readonly reach: 'all' | 'first';
  readonly stillWatching: boolean;
}

export type PersonChannel = 'text' | 'email' | 'webhook' | 'file' | 'console';

export interface WebhookConfig {
  readonly url: string;
  readonly secret: Secret | null;
  readonly allowPrivate: boolean;
}

export interface MqttStateConfig {
  readonly url: string;
  readonly user: string | null;
  readonly password: Secret | null;
  readonly topic: string;
}

export interface EmailConfig {
  readonly host: string;
  readonly port: number;
  readonly security: 'none' | 'starttls' | 'tls';
  readonly from: string;
  readonly user: string | null;
  /** Where the password is; read when the channel is opened, never kept in the config. */
  readonly password: Secret | null;
}

export interface DeliveryConfig {
  readonly email: EmailConfig | null;
  readonly file: { readonly directory: string } | null;
  readonly webhook: WebhookConfig | null;
  readonly mqtt: MqttStateConfig | null;
  readonly console: boolean;
  /** The longest that an attempt to send may take; a claim holds for a minute and is renewed meanwhile. */
  readonly leaseSeconds: number;
}
