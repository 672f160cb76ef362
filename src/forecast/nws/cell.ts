import { isDeepStrictEqual } from 'node:util';
import { SourceError } from '../../errors.ts';
import { HOUR_S, isoSecond } from '../../quantity/instant.ts';
import type { Obtained, Read } from '../http/obtain.ts';
import type { Point, SourceAnswer } from '../source.ts';
import { parseGrid } from './grid-parse.ts';
import { FRESH_S } from './policy.ts';
import { addressOf, wish, type Visit } from './visit.ts';
import { firstIssue, pointWire } from './wire.ts';

/** `OAX/59,58`: the office and the cell of its grid. */
export type Cell = string;

type Good = Extract<SourceAnswer, { ok: true }>;

export interface Located {
  readonly cell: Cell;
  readonly grid: Extract<Obtained<Good>, { ok: true }>;
}

/** At most four decimals and no trailing zeros: with more the service only redirects. */
export function coordinates({ latitude, longitude }: Point): string {
  return [latitude, longitude].map((degrees) => String(Number(degrees.toFixed(4)) + 0)).join(',');
}

/** The grid of the cell that the point lies in. Offices move their grids: then the cell is looked up anew, once. */
export async function gridAt(
  point: Point,
  visit: Visit,
): Promise<{ readonly ok: false; readonly error: SourceError } | ({ readonly ok: true } & Located)> {
  const known = await cellOf(point, visit, false);
  if (!known.ok) return { ok: false, error: known.error };
  const found = { cell: known.value, grid: await gridOf(known.value, point, visit) };
  const located = mayHaveMoved(found.grid)
    ? ((await gridElsewhere(found.cell, point, visit)) ?? found)
    : found;
  const { cell, grid } = located;
  return grid.ok ? { ok: true, cell, grid } : { ok: false, error: grid.error };
}

function mayHaveMoved(grid: Obtained<Good>): boolean {
  const error = grid.ok ? grid.keptSince : grid.error;
  return grid.failure?.status === 404 || error?.code === 'source-missing-place';
}

async function gridElsewhere(
  cell: Cell,
  point: Point,
  visit: Visit,
): Promise<{ readonly cell: Cell; readonly grid: Obtained<Good> } | null> {
  const anew = await cellOf(point, visit, true);
  if (!anew.ok || anew.value === cell) return null;
  return { cell: anew.value, grid: await gridOf(anew.value, point, visit) };
}

async function cellOf(point: Point, visit: Visit, anew: boolean): Promise<Read<Cell>> {
  const path = `points/${coordinates(point)}`;
  const read = (value: unknown): Read<Cell | null> => readCell(value, point, visit);
  const found = await wish({ path, leastFreshS: FRESH_S.cell, anew, read }, visit);
  if (found.ok && found.value !== null) return { ok: true, value: found.value };
  if (found.ok) return { ok: false, error: outside(point, visit) };
  if (found.failure?.reason?.startsWith('InvalidPoint') !== true) return { ok: false, error: found.error };
  const { service, now } = visit;
  await service.keep(addressOf(path, visit), OUTSIDE, { now, leastFreshS: FRESH_S.cell });
  return { ok: false, error: outside(point, visit) };
}

/** Kept in place of a cell, so that a place that has none is not asked for in every round. */
const OUTSIDE = { outside: true };

/** Null: none, as it was said before. */
function readCell(value: unknown, point: Point, { options }: Visit): Read<Cell | null> {
  const wire = pointWire.safeParse(value);
  if (wire.success) {
    const { gridId, gridX, gridY } = wire.data.properties;
    return { ok: true, value: `${gridId}/${gridX},${gridY}` };
  }
  if (isDeepStrictEqual(value, OUTSIDE)) return { ok: true, value: null };
  const text = `The source "${options.id}" answered no grid cell for the place "${point.id}" (${firstIssue(wire.error)}).`;
  return { ok: false, error: new SourceError('source-body', text, { retryable: true }) };
}

/** Whether a place is in the United States does not change. */
function outside(point: Point, { options }: Visit): SourceError {
  const text = `The source "${options.id}" covers the United States and its territories only: the place "${point.id}" (${coordinates(point)}) lies outside.`;
  const hint = 'Check the coordinates, or name another source for it.';
  return new SourceError('source-refused', text, { hint });
}

function gridOf(cell: Cell, point: Point, visit: Visit): Promise<Obtained<Good>> {
  const { now, options } = visit;
  return wish(
    {
      path: `gridpoints/${cell}`,
      leastFreshS: FRESH_S.forecast,
      read: (value, fetchedAt) => {
        const answer = parseGrid(value, { source: options.id, point, fetchedAt, now });
        if (!answer.ok) return answer;
        const error = ageProblem(answer, visit);
        return error === null ? { ok: true, value: answer } : { ok: false, error };
      },
    },
    visit,
  );
}

/** Only `updateTime` tells the age: `Last-Modified` was seen to lie in the future. */
function ageProblem({ forecast }: Good, { options, now }: Visit): SourceError | null {
  const { issuedAt } = forecast;
  const { id, staleAfterHours } = options;
  if (issuedAt === null || staleAfterHours === null || now - issuedAt <= staleAfterHours * HOUR_S)
    return null;
  const text = `The forecast of the source "${id}" was issued at ${isoSecond(issuedAt)}, more than ${staleAfterHours} hours ago.`;
  return new SourceError('forecast-stale', text, {
    retryable: true,
    hint: 'The service answers from an old store: ask another source until it has passed.',
  });
}
