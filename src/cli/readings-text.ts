/** Readings for a terminal, in the display's unit and the place's local time. */
import type { Imported, ListedReadings, ReadingKept } from '../app/readings.ts';
import type { Config } from '../config/config.ts';
import { isoSecond } from '../quantity/instant.ts';
import { formatLocal } from '../quantity/local-time.ts';
import { formatNumber, inUnit } from '../quantity/quantity.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';

type Display = Config['display'];
type Target = Pick<ListedReadings, 'place' | 'unit'>;

interface Said {
  readonly display: Display;
  /** As it was said; null: it was not, and taken as outside. */
  readonly zone: string | null;
}

/** `Creek row, outside: 25 °F at Thu 26 Nov, 15:10 MST is kept.` */
export function keptText({ place, unit, reading, counts }: ReadingKept, { display, zone }: Said): string {
  const taken = unit !== null && zone === null ? 'taken as outside' : reading.zone;
  const shown = temperature(reading.temperatureC, display.temperature);
  const when = formatLocal(reading.at, place.timeZone);
  return `${labelOf({ place, unit })}, ${taken}: ${shown} at ${when} ${fate(counts)}.\n`;
}

function fate({ added, replaced }: ReadingKept['counts']): string {
  if (added > 0) return 'is kept';
  return replaced > 0 ? 'is kept in place of another value' : 'was known already';
}

export function importedText({ place, unit, counts, empty, skipped }: Imported, file: string): string {
  const { added, replaced, known } = counts;
  const parts = [
    `${added} new`,
    ...(replaced > 0 ? [`${replaced} in place of other values`] : []),
    ...(known > 0 ? [`${known} known already`] : []),
    ...(empty > 0 ? [`${empty} without a temperature`] : []),
  ];
  const summary = `${labelOf({ place, unit })}: readings from ${file}: ${parts.join(', ')}.`;
  const left = skipped.length === 0 ? [] : [`Left out: ${skipped.length}.`, ...skipped];
  return [summary, ...left, ''].join('\n');
}

/** A line for each, oldest first. */
export function listText({ place, unit, readings }: ListedReadings, display: Display): string {
  if (readings.length === 0) return `${labelOf({ place, unit })}: no readings yet.\n`;
  const rows = readings.map((reading) => [
    formatLocal(reading.at, place.timeZone),
    unit === null && reading.unit !== null ? `${reading.unit} ${reading.zone}` : reading.zone,
    temperature(reading.temperatureC, display.temperature),
    ORIGINS[reading.origin],
  ]);
  const widths = [0, 1, 2].map((column) => Math.max(...rows.map((row) => (row[column] ?? '').length)));
  const line = (row: readonly string[]): string =>
    row
      .map((cell, column) =>
        column === 2 ? cell.padStart(widths[2] ?? 0) : cell.padEnd(widths[column] ?? 0),
      )
      .join('  ')
      .trimEnd();
  return [`${labelOf({ place, unit })}, the last ${rows.length}:`, ...rows.map(line), ''].join('\n');
}

const ORIGINS = {
  said: 'said',
  file: 'from a file',
  http: 'over HTTP',
  mqtt: 'over MQTT',
} as const satisfies Record<ListedReadings['readings'][number]['origin'], string>;

export function listAnswer({ place, unit, readings }: ListedReadings) {
  return {
    schema: 'drainby.readings/1',
    place: place.id,
    unit: unit?.id ?? null,
    readings: readings.map((reading) => ({
      unit: reading.unit,
      zone: reading.zone,
      at: isoSecond(reading.at),
      temperatureC: Math.round(100 * reading.temperatureC) / 100 + 0,
      origin: reading.origin,
    })),
  };
}

function labelOf({ place, unit }: Target): string {
  return (unit ?? place).label;
}

/** To a tenth: thermometers show no more. */
function temperature(temperatureC: number, unit: TemperatureUnit): string {
  const symbol = `°${unit}`;
  return `${formatNumber(Math.round(10 * inUnit('temperature', temperatureC, symbol)) / 10 + 0)} ${symbol}`;
}
