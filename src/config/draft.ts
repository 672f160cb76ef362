/**
 * The file as it was written, read leniently: the rules that span fields look here, so that one mistake does
 * not hide another. What has the wrong shape reads as absent; the schema speaks of it.
 */
import type { Dimension } from '../quantity/quantity.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import type { Path, Problem } from './problem.ts';

export interface Draft {
  readonly path: Path;
  readonly fields: Readonly<Record<string, unknown>>;
}

export function draftOf(value: unknown): Draft {
  return { path: [], fields: isRecord(value) ? value : {} };
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

export function has(draft: Draft, key: string): boolean {
  return Object.hasOwn(draft.fields, key);
}

/** The map at `key`, empty when there is none. */
export function mapAt(draft: Draft, key: string): Draft {
  return { path: [...draft.path, key], fields: draftOf(draft.fields[key]).fields };
}

/** The maps of the list at `key`. */
export function mapsAt(draft: Draft, key: string): readonly Draft[] {
  return itemsAt(draft, key).flatMap((item) =>
    isRecord(item.value) ? [{ path: item.path, fields: item.value }] : [],
  );
}

/** The texts of the list at `key`, each with its path. */
export function textsAt(
  draft: Draft,
  key: string,
): readonly { readonly path: Path; readonly text: string }[] {
  return itemsAt(draft, key).flatMap((item) =>
    typeof item.value === 'string' ? [{ path: item.path, text: item.value }] : [],
  );
}

function itemsAt(draft: Draft, key: string): readonly { readonly path: Path; readonly value: unknown }[] {
  const list = draft.fields[key];
  if (!Array.isArray(list)) return [];
  return list.map((value: unknown, index) => ({ path: [...draft.path, key, index], value }));
}

export function textAt(draft: Draft, key: string): string | null {
  const value = draft.fields[key];
  return typeof value === 'string' ? value : null;
}

export function numberAt(draft: Draft, key: string): number | null {
  const value = draft.fields[key];
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}

/** In base units; null when absent or not readable. */
export function quantityAt(draft: Draft, key: string, dimension: Dimension): number | null {
  const text = textAt(draft, key);
  const result = text === null ? null : parseQuantity(dimension, text);
  return result?.ok ? result.value : null;
}

/** A problem with the value at `key`, or with the map itself when that key is absent. */
export function problemAt(draft: Draft, key: string, text: string): Problem {
  return { path: [...draft.path, key], at: 'value', text };
}
