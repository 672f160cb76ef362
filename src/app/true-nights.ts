/** The weather that nights really had, as the model takes it. Pure. */
import type { PlaceConfig } from '../config/config.ts';
import type { Night } from '../decision/nights.ts';
import { SourceError } from '../errors.ts';
import { floorToHour, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { PastHour } from '../store/places.ts';
import type { Truth } from '../verify/scorecard.ts';
import { nearestToHours, type Measured } from '../verify/truth.ts';
import { outlookOf, type Outlook } from '../weather/outlook.ts';

export interface TrueNight extends Night {
  /** One course, from up to 72 h before the night to its end; null: too little is known of it. */
  readonly outlook: Outlook | null;
}

export interface TrueWeather {
  readonly place: PlaceConfig;
  readonly measured: Readonly<Record<Truth, readonly Measured[]>>;
  /** For what is not measured: wind, cloud and soil as the newest forecasts had them. */
  readonly past: readonly PastHour[];
}

/** The place's own air before what is computed for it, and both before that of another place. */
const IN_ORDER = ['readings', 'archive', 'station'] as const satisfies readonly Truth[];

const BEFORE_HOURS = 72;
/** Of the hours of a night so many must have been measured; holes of more than two hours are never bridged. */
const LEAST_HOURS = 20;

export function trueNights(weather: TrueWeather, nights: readonly Night[]): TrueNight[] {
  const { place, past } = weather;
  const pastByHour = new Map(past.map((hour) => [hour.hour, hour]));
  const known = IN_ORDER.map((kind) => ({
    kind,
    place: kind === 'readings' ? asMeasured(place) : place,
    byHour: nearestToHours(weather.measured[kind]),
    pastByHour,
  }));
  return nights.map((night) => {
    for (const by of known) {
      const outlook = outlookBy(by, night);
      if (outlook !== null) return { ...night, outlook };
    }
    return { ...night, outlook: null };
  });
}

/** What was measured on the spot has all that makes it colder in it. */
function asMeasured(place: PlaceConfig): PlaceConfig {
  return { ...place, lie: 'ridge', coldSpotK: 0 };
}

interface Known {
  readonly kind: Truth;
  readonly place: PlaceConfig;
  readonly byHour: ReadonlyMap<EpochSeconds, Measured>;
  readonly pastByHour: ReadonlyMap<EpochSeconds, PastHour>;
}

function outlookBy({ kind, place, byHour, pastByHour }: Known, night: Night): Outlook | null {
  const firstHour = floorToHour(night.noon) - BEFORE_HOURS * HOUR_S;
  const count = Math.ceil((night.end - firstHour) / HOUR_S) + 1;
  const hours = Array.from({ length: count }, (_, i) => firstHour + i * HOUR_S);
  const isOfNight = (hour: EpochSeconds): boolean => hour >= night.noon && hour < night.end;
  if (hours.filter((hour) => isOfNight(hour) && byHour.has(hour)).length < LEAST_HOURS) return null;
  const past = (name: 'windSpeedMps' | 'cloudPercent' | 'soilTemperatureC'): number[] =>
    hours.map((hour) => pastByHour.get(hour)?.[name] ?? Number.NaN);
  const member = {
    weight: 1,
    temperatureC: hours.map((hour) => byHour.get(hour)?.temperatureC ?? Number.NaN),
    windSpeedMps: past('windSpeedMps'),
    cloudPercent: past('cloudPercent'),
    soilTemperatureC: past('soilTemperatureC'),
  };
  const service = { source: kind, attribution: null, issuedAt: null, fetchedAt: night.end };
  const forecast = { ...service, firstHour, whole: true, members: [member] };
  return throughNight({ forecast, now: night.noon, horizonHours: count, spot: place, errorLaw: null }, night);
}

/** Null where it begins or ends within the night. */
function throughNight(request: Parameters<typeof outlookOf>[0], { end }: Night): Outlook | null {
  try {
    const outlook = outlookOf(request);
    return outlook.firstHour + outlook.hours * HOUR_S >= end ? outlook : null;
  } catch (error) {
    if (error instanceof SourceError) return null;
    throw error;
  }
}
