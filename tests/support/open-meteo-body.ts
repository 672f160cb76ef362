/** A point of a body; the service answers with its grid cell, here the point itself. */
export interface BodyPoint {
  readonly latitude: number;
  readonly longitude: number;
}

/** The value of an hour, counted from the start of the series; null is what the service does not know. */
export type Course = (hour: number, point: number) => number | null;

export interface BodyOptions {
  /** First hour, seconds since 1970. */
  readonly startEpochS: number;
  /** Three past days and sixteen more unless given. */
  readonly hours?: number;
  readonly temperatureC: Course;
  readonly dewPointC?: Course;
  readonly windSpeedMps?: Course;
  readonly windGustsMps?: Course;
  readonly cloudPercent?: Course;
  readonly precipitationMm?: Course;
  readonly snowDepthM?: Course;
  readonly soilTemperatureC?: Course;
  /** Last change to the answer for one location, before it is written. */
  readonly change?: (location: BodyLocation, point: number) => unknown;
}

export interface BodyLocation {
  latitude: number;
  longitude: number;
  hourly_units: Record<string, string>;
  hourly: { time: number[]; [variable: string]: (number | null)[] };
  [key: string]: unknown;
}

/** The text of an answer of Open-Meteo's forecast API: an object for one point, an array for several. */
export function openMeteoBody(points: readonly BodyPoint[], options: BodyOptions): string {
  const change = options.change ?? ((location) => location);
  const locations = points.map((point, index) => change(bodyLocation(point, index, options), index));
  return JSON.stringify(locations.length === 1 ? locations[0] : locations);
}

function bodyLocation(point: BodyPoint, index: number, options: BodyOptions): BodyLocation {
  const hours = options.hours ?? 19 * 24;
  const series = (course: Course): (number | null)[] =>
    Array.from({ length: hours }, (_, hour) => course(hour, index));
  return {
    latitude: point.latitude,
    longitude: point.longitude,
    generationtime_ms: 0.25,
    utc_offset_seconds: 0,
    timezone: 'GMT',
    timezone_abbreviation: 'GMT',
    elevation: 38,
    ...(index > 0 && { location_id: index }),
    hourly_units: {
      time: 'unixtime',
      temperature_2m: '°C',
      dew_point_2m: '°C',
      wind_speed_10m: 'm/s',
      wind_gusts_10m: 'm/s',
      cloud_cover: '%',
      precipitation: 'mm',
      snow_depth: 'm',
      soil_temperature_0cm: '°C',
    },
    hourly: {
      time: Array.from({ length: hours }, (_, hour) => options.startEpochS + hour * 3600),
      temperature_2m: series(options.temperatureC),
      dew_point_2m: series(options.dewPointC ?? (() => -3)),
      wind_speed_10m: series(options.windSpeedMps ?? (() => 2)),
      wind_gusts_10m: series(options.windGustsMps ?? (() => 4)),
      cloud_cover: series(options.cloudPercent ?? (() => 50)),
      precipitation: series(options.precipitationMm ?? (() => 0)),
      snow_depth: series(options.snowDepthM ?? (() => 0)),
      soil_temperature_0cm: series(options.soilTemperatureC ?? (() => 5)),
    },
  };
}

/** The value of an hour of one member; null is what the service does not know. */
export type MemberCourse = (hour: number, member: number, point: number) => number | null;

export interface EnsembleBodyOptions {
  /** First hour, seconds since 1970. */
  readonly startEpochS: number;
  readonly hours: number;
  /** With the control, which has no number in its name. */
  readonly members: number;
  readonly temperatureC: MemberCourse;
  /** Of the grid cell [m]; 38 unless given. */
  readonly elevation?: number;
  /** Added to every name, as where several models answered. */
  readonly suffix?: string;
}

/** An answer of the ensemble API, to the shape of recordings/open-meteo/ensemble-21-members.json. */
export function ensembleBody(points: readonly BodyPoint[], options: EnsembleBodyOptions): string {
  const locations = points.map((point, index) => ensembleLocation(point, index, options));
  return JSON.stringify(locations.length === 1 ? locations[0] : locations);
}

function ensembleLocation(point: BodyPoint, index: number, options: EnsembleBodyOptions): object {
  const { startEpochS, hours, members, temperatureC, suffix = '' } = options;
  const names = Array.from(
    { length: members },
    (_, member) =>
      `temperature_2m${member === 0 ? '' : `_member${String(member).padStart(2, '0')}`}${suffix}`,
  );
  const units = Object.fromEntries(names.map((name) => [name, '°C']));
  const series = names.map((name, member): [string, (number | null)[]] => [
    name,
    Array.from({ length: hours }, (_, hour) => temperatureC(hour, member, index)),
  ]);
  return {
    latitude: point.latitude,
    longitude: point.longitude,
    generationtime_ms: 1.25,
    utc_offset_seconds: 0,
    timezone: 'GMT',
    timezone_abbreviation: 'GMT',
    elevation: options.elevation ?? 38,
    ...(index > 0 && { location_id: index }),
    hourly_units: { time: 'unixtime', ...units },
    hourly: {
      time: Array.from({ length: hours }, (_, hour) => startEpochS + hour * 3600),
      ...Object.fromEntries(series),
    },
  };
}

/** A model's metadata, with the names that weather-sources.md, section 1.1, gives (no recording). */
export function metaBody(availableEpochS: number, stepHours = 3): string {
  return JSON.stringify({
    data_end_time: availableEpochS + 15 * 86_400,
    last_run_availability_time: availableEpochS,
    last_run_initialisation_time: availableEpochS - 7 * 3600,
    last_run_modification_time: availableEpochS - 300,
    temporal_resolution_seconds: stepHours * 3600,
    update_interval_seconds: 6 * 3600,
  });
}
