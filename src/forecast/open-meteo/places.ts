import type { SourceError } from '../../errors.ts';
import type { EpochSeconds } from '../../quantity/instant.ts';
import type { Failure } from '../http/failure.ts';
import type { Obtained, Read } from '../http/obtain.ts';
import type { OnShelf, Service } from '../http/service.ts';
import type { Point } from '../source.ts';
import type { OpenMeteoAccess } from './options.ts';
import { allowanceOf } from './policy.ts';

/** What one fetch has at hand. */
export interface Visit {
  readonly service: Service;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

/** One question about many places. */
export interface PlacesAsk<T> {
  readonly url: (points: readonly Point[]) => URL;
  /** Calls that the service counts for one place. */
  readonly weight: number;
  readonly mostPoints: number;
  readonly leastFreshS?: number;
  /** Of the day's and the hour's allowance, that this may bring the count to; absent: all of it. */
  readonly share?: number;
  /** Whether what lies on the shelf for a place will do. */
  readonly isCurrent: (held: OnShelf) => boolean;
  /** The answer for each of several places, in their order, unread. */
  readonly split: (value: unknown, points: readonly Point[]) => readonly Read<unknown>[];
  readonly read: (value: unknown, point: Point, fetchedAt: EpochSeconds) => Read<T>;
  /** Why a new answer says no more than the one on the shelf, where it ought to; null: it does. */
  readonly stuck?: (before: Before<T>, after: T) => SourceError | null;
}

/** What lay on the shelf when a new answer came. */
export interface Before<T> {
  readonly value: T;
  readonly fetchedAt: EpochSeconds;
}

/**
 * Asks for many places at a time and keeps each one's answer by itself, so that a place that comes or goes, or that
 * alone is broken, changes nothing for its neighbours. Where no usable answer comes the last good one stands in.
 */
export async function obtainPlaces<T>(
  points: readonly Point[],
  ask: PlacesAsk<T>,
  visit: Visit,
): Promise<ReadonlyMap<string, Obtained<T>>> {
  const found = new Map<string, Obtained<T>>();
  const before = new Map<string, Before<T>>();
  for (const point of points) {
    const held = await visit.service.shelved(ask.url([point]), visit.now);
    const read = held === null ? null : ask.read(held.value, point, held.fetchedAt);
    if (held === null || read === null || !read.ok) continue;
    const { fetchedAt } = held;
    const { value } = read;
    before.set(point.id, { value, fetchedAt });
    if (ask.isCurrent(held))
      found.set(point.id, { ok: true, value, fetchedAt, keptSince: null, remarks: [] });
  }
  const wanted = points.filter(({ id }) => !found.has(id));
  const answers = await askBatches(wanted, ask, visit);
  for (const point of wanted) {
    const seen = { answer: answers.get(point.id), before: before.get(point.id) ?? null };
    found.set(point.id, await settle(point, { ask, ...seen }, visit));
  }
  return found;
}

interface Seen<T> {
  readonly ask: PlacesAsk<T>;
  readonly answer: Answered | undefined;
  readonly before: Before<T> | null;
}

/** Keeps an answer that can be used; else the last good one stands in. */
async function settle<T>(
  point: Point,
  { ask, answer, before }: Seen<T>,
  { service, now }: Visit,
): Promise<Obtained<T>> {
  if (answer === undefined) throw new Error(`The place "${point.id}" was left without an answer.`);
  const read: Read<T> = answer.ok ? ask.read(answer.value, point, now) : answer;
  const { leastFreshS } = ask;
  const kept = { now, ...(leastFreshS !== undefined && { leastFreshS }) };
  const fault = read.ok && before !== null ? (ask.stuck?.(before, read.value) ?? null) : null;
  const refused =
    fault ?? (read.ok && answer.ok ? await service.keep(ask.url([point]), answer.value, kept) : null);
  const usable: Read<T> = refused === null ? read : { ok: false, error: refused };
  if (!usable.ok) {
    if (before === null) return { ...usable, failure: null };
    return { ok: true, ...before, keptSince: usable.error, remarks: [] };
  }
  const remarks = answer.ok ? answer.remarks : [];
  return { ok: true, value: usable.value, fetchedAt: now, keptSince: null, remarks };
}

type Answered =
  | { readonly ok: true; readonly value: unknown; readonly remarks: readonly string[] }
  | { readonly ok: false; readonly error: SourceError };

/** What one fetch may still spend on recovering. Every try counts against the service's quota. */
interface Left {
  readonly retries: number;
  readonly splits: number;
}

/** Two tries more, and enough halvings to find two bad points among a hundred. */
const FULL: Left = { retries: 2, splits: 14 };

/** Batch after batch, never two at once: the free service allows one request in flight per address. */
async function askBatches<T>(
  points: readonly Point[],
  ask: PlacesAsk<T>,
  { service, now, signal }: Visit,
): Promise<ReadonlyMap<string, Answered>> {
  const answers = new Map<string, Answered>();
  const waiting = chunks(points, ask.mostPoints);
  let left = FULL;
  for (let batch = waiting.shift(); batch !== undefined; batch = waiting.shift()) {
    const divisible = batch.length > 1 && left.splits > 0;
    const fetched = await service.ask({
      url: ask.url(batch),
      weight: batch.length * ask.weight,
      ...(ask.share !== undefined && { share: ask.share }),
      tries: 1 + left.retries,
      anew: true,
      divisible,
      now,
      signal,
    });
    left = { ...left, retries: Math.max(0, left.retries - Math.max(0, fetched.tries - 1)) };
    if (fetched.ok) {
      const { remarks } = fetched;
      ask.split(fetched.value, batch).forEach((part, index) => {
        const point = batch[index];
        if (point !== undefined) answers.set(point.id, part.ok ? { ...part, remarks } : part);
      });
    } else if (divisible && fetched.failure.scope === 'content') {
      left = { ...left, splits: left.splits - 1 };
      waiting.unshift(...halves(batch));
    } else {
      const lost = stops(fetched.failure) ? [batch, ...waiting.splice(0)].flat() : batch;
      for (const point of lost) answers.set(point.id, { ok: false, error: fetched.failure.error });
    }
  }
  return answers;
}

/** Every further request would meet it too. */
function stops({ scope }: Failure): boolean {
  return scope === 'service';
}

function chunks(points: readonly Point[], size: number): (readonly Point[])[] {
  const result: (readonly Point[])[] = [];
  for (let at = 0; at < points.length; at += size) result.push(points.slice(at, at + size));
  return result;
}

function halves(points: readonly Point[]): readonly (readonly Point[])[] {
  const middle = Math.ceil(points.length / 2);
  return [points.slice(0, middle), points.slice(middle)];
}

/** The service serves more; a hundred keep one answer small enough to be read whole. */
const MOST_POINTS = 100;

/** As many places as a request may name without being too much for one minute by itself. */
export function mostPoints(weight: number, access: OpenMeteoAccess): number {
  const minute = allowanceOf(access)?.minute ?? Number.POSITIVE_INFINITY;
  return Math.max(1, Math.min(MOST_POINTS, Math.floor(minute / weight)));
}
