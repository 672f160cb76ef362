/** JSON with the keys of every object in order, so that equal values are equal text. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, nested: unknown) => (isRecord(nested) ? sorted(nested) : nested));
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function sorted(record: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(
    Object.keys(record)
      .toSorted()
      .map((key) => [key, record[key]]),
  );
}
