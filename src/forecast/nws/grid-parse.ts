import { SourceError, type SourceErrorCode } from '../../errors.ts';
import { parseInstant, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast, Low } from '../../weather/forecast.ts';
import { coverageProblem } from '../coverage.ts';
import { printable } from '../printable.ts';
import type { Point, SourceAnswer } from '../source.ts';
import { withBlocks } from './blocks-parse.ts';
import { axisOf, hourlyValues, indexesOf, readLayer, type Axis, type Layer } from './layer-parse.ts';
import { liesNear } from './place-parse.ts';
import { plausible, scaleOf, type Quantity } from './unit-parse.ts';
import { elevationWire, firstIssue, gridWire, layerWire, polygonWire, type GridWire } from './wire.ts';

/** The data are in the public domain; this credit is ours. */
export const ATTRIBUTION = 'Data: US National Weather Service (NOAA), https://www.weather.gov/';

export interface Asked {
  readonly source: string;
  readonly point: Point;
  /** When the body was received: `NOW` in it means that. */
  readonly fetchedAt: EpochSeconds;
  readonly now: EpochSeconds;
}

/** Turns the raw layers of a grid cell into a forecast, or into the reason why they cannot be used. */
export function parseGrid(value: unknown, asked: Asked): SourceAnswer {
  const wire = gridWire.safeParse(value);
  if (!wire.success) {
    return refuse('source-body', asked, `answered in an unexpected shape (${firstIssue(wire.error)})`);
  }
  const { geometry, properties } = wire.data;
  const polygon = polygonWire.safeParse(geometry);
  if (polygon.success && !liesNear(asked.point, polygon.data.coordinates[0])) {
    return refuse('source-missing-place', asked, 'answered with a grid cell that lies elsewhere');
  }
  const issuedAt = parseInstant(properties.updateTime);
  if (issuedAt === null) return refuse('source-body', asked, 'does not say when its forecast was issued,');
  const temperature = readLayer(properties.temperature, 'temperature', asked.fetchedAt);
  if (temperature === null) {
    const unit = printable(properties.temperature.uom ?? 'no unit', 40);
    return refuse('source-units', asked, `answered temperature in "${unit}" instead of degC`);
  }
  const axis = axisOf(temperature);
  if (axis === null) return axisProblem(temperature, asked);
  const remarks = polygon.success ? [] : ['The answer does not say where its grid cell lies.'];
  const built = build({ properties, temperature, axis, issuedAt }, asked);
  const error = coverageProblem(built.forecast, asked.now);
  if (error !== null) return { ok: false, error };
  return { ok: true, forecast: built.forecast, remarks: [...remarks, ...built.remarks] };
}

function axisProblem(temperature: Layer, asked: Asked): SourceAnswer {
  if (temperature.spans.length === 0 && temperature.unread === 0) {
    return refuse('forecast-empty', asked, 'answered a temperature without hours');
  }
  return refuse('source-body', asked, 'answered a temperature for times that are none of a forecast');
}

interface Parts {
  readonly properties: GridWire['properties'];
  readonly temperature: Layer;
  readonly axis: Axis;
  readonly issuedAt: EpochSeconds;
}

function build(
  { properties, temperature, axis, issuedAt }: Parts,
  { source, fetchedAt, now }: Asked,
): { readonly forecast: Forecast; readonly remarks: readonly string[] } {
  const remarks: string[] = [];
  const optional = (name: 'windSpeed' | 'skyCover' | 'minTemperature', quantity: Quantity): Layer | null => {
    const wire = layerWire.safeParse(properties[name] ?? { values: [] });
    const layer = wire.success ? readLayer(wire.data, quantity, fetchedAt) : null;
    if (layer === null) remarks.push(`Its ${name} is in an unknown shape or unit and is left out.`);
    return layer;
  };
  const series = (layer: Layer | null, worse: typeof Math.min): readonly number[] | null => {
    const values = layer === null ? [] : hourlyValues(layer, axis, worse).values;
    return values.every(Number.isNaN) ? null : values;
  };
  // Where two values overlap, the one that makes pipes colder: less warmth, more wind, less cloud.
  const { values: temperatureC, conflicts } = hourlyValues(temperature, axis, Math.min);
  remarks.push(...doubts(temperature, conflicts));
  const height = heightOf(properties.elevation);
  const member = {
    weight: 1,
    ...withBlocks(temperature, temperatureC, { axis, now }),
    windSpeedMps: series(optional('windSpeed', 'speed'), Math.max),
    cloudPercent: series(optional('skyCover', 'share'), Math.min),
    soilTemperatureC: null,
    lows: lowsOf(optional('minTemperature', 'temperature'), axis),
  };
  const forecast: Forecast = {
    source,
    attribution: ATTRIBUTION,
    issuedAt,
    fetchedAt,
    firstHour: axis.firstHour,
    whole: false,
    members: [member],
    ...(height !== null && { gridElevationM: height }),
  };
  return { forecast, remarks };
}

function doubts({ unread, absurd }: Layer, conflicts: number): readonly string[] {
  const hours = conflicts === 1 ? '1 hour' : `${conflicts} hours`;
  const values =
    absurd === 1 ? '1 temperature that cannot be was' : `${absurd} temperatures that cannot be were`;
  const stretches = unread === 1 ? '1 stretch of hours' : `${unread} stretches of hours`;
  return [
    ...(conflicts > 0 ? [`It has two temperatures for ${hours}; the colder one is taken.`] : []),
    ...(absurd > 0 ? [`${values} taken as unknown.`] : []),
    ...(unread > 0 ? [`${stretches} could not be read and count as unknown.`] : []),
  ];
}

/**
 * Night minima. One that reaches beyond the last known hour may fall after it, and is left out; one that began before
 * the first may have been reached already, and is kept.
 */
function lowsOf(layer: Layer | null, axis: Axis): readonly Low[] {
  return (layer?.spans ?? []).flatMap((span) => {
    const { from, to } = indexesOf(span, axis);
    if (Number.isNaN(span.value) || to < Math.max(0, from) || to >= axis.hours) return [];
    return [{ from: Math.max(0, from), to, temperatureC: span.value }];
  });
}

function heightOf(elevation: unknown): number | null {
  const wire = elevationWire.safeParse(elevation);
  if (!wire.success || wire.data.value === null) return null;
  const metres = scaleOf('length', wire.data.unitCode)?.(wire.data.value) ?? null;
  const height = plausible('length', metres);
  return Number.isNaN(height) ? null : height;
}

function refuse(code: SourceErrorCode, asked: Asked, what: string): SourceAnswer {
  const text = `The source "${asked.source}" ${what} for the place "${asked.point.id}".`;
  return { ok: false, error: new SourceError(code, text, { retryable: code === 'source-body' }) };
}
