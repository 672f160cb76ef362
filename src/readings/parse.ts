/** From what a sensor sends to a temperature with its time. What cannot be read is a sentence, never a number. */
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';

/** A temperature as somebody reports it, before anybody looked whether such a place, unit or zone is there. */
export interface Reported {
  /** Ids; one of the two is given. */
  readonly place: string | null;
  readonly unit: string | null;
  /** Null: outside. */
  readonly zone: string | null;
  readonly temperature: number;
  readonly scale: TemperatureUnit;
  readonly at: EpochSeconds;
}

export function toCelsius(temperature: number, scale: TemperatureUnit): number {
  return scale === 'F' ? (temperature - 32) / 1.8 : temperature;
}

/** How a sensor's messages are to be read. */
export interface PayloadRule {
  /** Keys and indexes to the temperature, such as `sensors.0.temp`; empty: the whole payload. */
  readonly path: string;
  /** The same to the time of the measurement; null: the messages do not say it. */
  readonly timePath: string | null;
}

export type PayloadResult =
  | {
      readonly ok: true;
      readonly temperature: number;
      /** Null: there is no `timePath`. */
      readonly at: EpochSeconds | null;
    }
  | { readonly ok: false; readonly problem: string };

const LONGEST_PAYLOAD = 65_536;
const NUMBER = /^[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?$/;

/** Reads a bare number, or JSON with the number somewhere within it. */
export function parsePayload(payload: Uint8Array, { path, timePath }: PayloadRule): PayloadResult {
  if (payload.length > LONGEST_PAYLOAD) return refused(`it is longer than ${LONGEST_PAYLOAD} bytes`);
  const text = asText(payload);
  if (text === null) return refused('it is not text in UTF-8');
  const value = asValue(text);
  if (value === undefined) return refused(`it is neither a number nor JSON: ${excerpt(text)}`);
  const temperature = asNumber(at(value, path));
  if (temperature === null) return refused(`there is no number at ${named(path)}: ${excerpt(text)}`);
  if (timePath === null) return { ok: true, temperature, at: null };
  const time = asInstant(at(value, timePath));
  if (time === null) return refused(`there is no time at ${named(timePath)}: ${excerpt(text)}`);
  return { ok: true, temperature, at: time };
}

function refused(problem: string): PayloadResult {
  return { ok: false, problem };
}

function asText(payload: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(payload).trim();
  } catch {
    return null;
  }
}

/** Undefined: it is no JSON, nor a number as sensors write it (`+21.5`, `.5`). */
function asValue(text: string): unknown {
  if (NUMBER.test(text)) return Number(text);
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}

/** What stands at the end of the path; undefined: nothing. The length of a list is nothing that the payload says. */
function at(value: unknown, path: string): unknown {
  return path
    .split('.')
    .filter((key) => key !== '')
    .reduce<unknown>((found, key) => {
      if (typeof found !== 'object' || found === null) return undefined;
      const holds = Object.prototype.propertyIsEnumerable.call(found, key);
      return holds ? (found as Readonly<Record<string, unknown>>)[key] : undefined;
    }, value);
}

/** Some sensors send numbers as text; words such as `unavailable`, and null, are no numbers. */
function asNumber(value: unknown): number | null {
  const number = typeof value === 'string' && NUMBER.test(value.trim()) ? Number(value) : value;
  return typeof number === 'number' && Number.isFinite(number) ? number : null;
}

/** From here on a count of seconds since 1970 can only be one of milliseconds: it would be the year 5138. */
const MILLISECONDS_FROM = 1e11;
/** The last second of the year 9999: beyond it an instant has no usual text. */
const LATEST = 253_402_300_799;

/** ISO 8601 with its offset, or seconds or milliseconds since 1970. */
function asInstant(value: unknown): EpochSeconds | null {
  if (typeof value === 'string' && !NUMBER.test(value.trim())) return parseInstant(value.trim());
  const number = asNumber(value);
  if (number === null || number <= 0) return null;
  const seconds = number >= MILLISECONDS_FROM ? number / 1000 : number;
  return seconds <= LATEST ? seconds : null;
}

function named(path: string): string {
  return path === '' ? 'the top' : `"${path}"`;
}

function excerpt(text: string): string {
  return `"${text.replace(/\p{Cc}/gu, ' ').slice(0, 60)}"`;
}
