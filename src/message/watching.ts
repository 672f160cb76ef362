/** The weekly line that the units are watched, or what is not as it should be. */
import type { EpochSeconds } from '../quantity/instant.ts';
import { formatNear } from '../quantity/local-time.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import { escapeHtml } from './html.ts';
import type { MessageText, Reader } from './message.ts';
import { oneLine } from './plain.ts';

export interface WatchedUnit {
  readonly label: string;
  readonly place: string;
  readonly waterState: string;
  readonly suspect: boolean;
  /** Hours since the forecast was made that speaks for it; null: there is none. */
  readonly forecastAgeHours: number | null;
  /** The lowest outside in the time for which advice is given; null: not known. */
  readonly lowest: { readonly temperatureC: number; readonly at: EpochSeconds } | null;
  /** What is to be done, in words; null: nothing. */
  readonly work: string | null;
}

export interface WatchingFacts {
  readonly asOf: EpochSeconds;
  readonly units: readonly WatchedUnit[];
  /** What is not fresh, in full sentences; empty: everything is. */
  readonly reasons: readonly string[];
}

export function watchingText({ asOf, units, reasons }: WatchingFacts, reader: Reader): MessageText {
  const isFresh = reasons.length === 0;
  const subject = isFresh
    ? `Still watching ${counted(units.length)}`
    : `Watching ${counted(units.length)}, but not everything is well`;
  const lead = isFresh
    ? `Still watching ${counted(units.length)} for ${oneLine(reader.name)}; everything is fresh.`
    : 'Not everything is well, so do not take silence for an all-clear:';
  const lines = units.map((unit) => unitLine(unit, asOf, reader));
  const close = 'This line comes once a week. If it stays away, look whether the program still runs.';
  const heads = [lead, ...reasons.map(oneLine)];
  const text = [...heads, '', ...lines.map((line) => `- ${line}`), '', close, ''].join('\n');
  const list = lines.map((line) => `<li>${escapeHtml(line)}</li>`).join('');
  const paragraphs = heads.map((line) => `<p>${escapeHtml(line)}</p>`).join('');
  return {
    subject,
    text,
    html: `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>${escapeHtml(subject)}</title></head><body>${paragraphs}<ul>${list}</ul><p>${escapeHtml(close)}</p></body></html>`,
  };
}

function unitLine(unit: WatchedUnit, asOf: EpochSeconds, { temperature, timeZone }: Reader): string {
  const { lowest, forecastAgeHours: age } = unit;
  const low =
    lowest === null
      ? 'the next low is not known'
      : `next low ${formatTemperature(lowest.temperatureC, temperature)}, ${formatNear(lowest.at, asOf, timeZone)}`;
  const forecast =
    age === null ? 'no usable forecast: unknown is not safe' : `forecast ${Math.round(age)} h old`;
  const state = `${oneLine(unit.waterState)}${unit.suspect ? ', may have frozen' : ''}`;
  const work = unit.work === null ? null : oneLine(unit.work);
  return `${oneLine(unit.label)} (${oneLine(unit.place)}): ${state}; ${doWords(unit.suspect, work)}; ${low}; ${forecast}.`;
}

/** Of a unit that may have frozen a person looks first, whatever else there is to do. */
function doWords(suspect: boolean, work: string | null): string {
  if (suspect)
    return `to do: no pressure, thaw it and check it first${work === null ? '' : `, then ${work}`}`;
  return work === null ? 'nothing to do now' : `to do: ${work}`;
}

function counted(units: number): string {
  return `${units} ${units === 1 ? 'unit' : 'units'}`;
}
