import { SourceError } from '../../errors.ts';
import type { EpochSeconds } from '../../quantity/instant.ts';
import type { Point, SourceAnswer } from '../source.ts';
import { parseLocation } from './parse.ts';
import { firstIssue, locationWire } from './wire.ts';

interface Asker {
  readonly source: string;
  readonly now: EpochSeconds;
}

/** One location is an object, several are an array in the order of the request. */
export function readAnswers(
  value: unknown,
  points: readonly Point[],
  asker: Asker,
): ReadonlyMap<string, SourceAnswer> {
  const locations: readonly unknown[] = Array.isArray(value) ? value : [value];
  if (locations.length !== points.length) {
    const answer = miscounted(points.length, locations.length, asker);
    return new Map(points.map((point) => [point.id, answer]));
  }
  return new Map(
    points.map((point, index) => [point.id, readLocation(locations[index], index, { ...asker, point })]),
  );
}

function miscounted(asked: number, found: number, asker: Asker): SourceAnswer {
  const text = `The source "${asker.source}" answered for ${found} places where ${asked} were asked for.`;
  return { ok: false, error: new SourceError('source-missing-place', text) };
}

/** Each location is read by itself: one that is broken says nothing about its neighbours. */
function readLocation(value: unknown, index: number, asked: Asker & { readonly point: Point }): SourceAnswer {
  const wire = locationWire.safeParse(value);
  if (!wire.success) {
    const rule = firstIssue(wire.error);
    const text = `The source "${asked.source}" answered in an unexpected shape for the place "${asked.point.id}" (${rule}).`;
    return { ok: false, error: new SourceError('source-body', text, { retryable: true }) };
  }
  if (wire.data.location_id !== undefined && wire.data.location_id !== index) {
    const text = `The source "${asked.source}" answered out of order, so the place "${asked.point.id}" cannot be told from others.`;
    return { ok: false, error: new SourceError('source-missing-place', text) };
  }
  return parseLocation(wire.data, asked);
}
