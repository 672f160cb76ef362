import { SourceError } from '../../errors.ts';
import type { Read } from '../http/obtain.ts';
import type { Point } from '../source.ts';
import { elevationWire, orderWire } from './wire.ts';

type Splitter = (value: unknown, points: readonly Point[]) => readonly Read<unknown>[];

/** One location is an object, several are an array in the order of the request. */
export function splitLocations(source: string): Splitter {
  return (value, points) => {
    const locations: readonly unknown[] = Array.isArray(value) ? value : [value];
    if (locations.length !== points.length) return miscounted(locations.length, points, source);
    return locations.map((location, index) => inOrder(location, index, { source, point: points[index] }));
  };
}

export function splitElevations(source: string): Splitter {
  return (value, points) => {
    const wire = elevationWire.safeParse(value);
    const heights = wire.success ? wire.data.elevation : [];
    if (heights.length !== points.length) return miscounted(heights.length, points, source);
    return heights.map((height) => ({ ok: true, value: height }));
  };
}

function miscounted(found: number, points: readonly Point[], source: string): readonly Read<unknown>[] {
  const text = `The source "${source}" answered for ${found} places where ${points.length} were asked for.`;
  const error = new SourceError('source-missing-place', text);
  return points.map(() => ({ ok: false, error }));
}

function inOrder(
  value: unknown,
  index: number,
  { source, point }: { readonly source: string; readonly point: Point | undefined },
): Read<unknown> {
  const wire = orderWire.safeParse(value);
  const id = wire.success ? wire.data.location_id : undefined;
  if (id === undefined || id === index) return { ok: true, value };
  const text = `The source "${source}" answered out of order, so the place "${point?.id}" cannot be told from others.`;
  return { ok: false, error: new SourceError('source-missing-place', text) };
}
