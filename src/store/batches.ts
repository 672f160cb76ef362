/** Rows to a statement: far fewer statements, and far below the number of parameters that one may have. */
const BATCH = 200;

export function batches<T>(rows: readonly T[]): readonly (readonly T[])[] {
  const count = Math.ceil(rows.length / BATCH);
  return Array.from({ length: count }, (_, index) => rows.slice(index * BATCH, (index + 1) * BATCH));
}
