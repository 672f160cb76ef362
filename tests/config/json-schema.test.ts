import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { SchemaNode } from '../../src/config/json-schema.ts';
import { configJsonSchema, configJsonSchemaText } from '../../src/config/json-schema.ts';

const FILE = fileURLToPath(new URL('../../config/drainby.schema.json', import.meta.url));

/** Paths of keys that nobody described. */
function undescribed(node: SchemaNode, path: string): readonly string[] {
  const keys = Object.entries(node.properties ?? {});
  return [
    ...keys.filter(([, child]) => !child.description?.endsWith('.')).map(([key]) => `${path}.${key}`),
    ...keys.flatMap(([key, child]) => undescribed(child, `${path}.${key}`)),
    ...(node.items ? undescribed(node.items, `${path}[]`) : []),
    ...(typeof node.additionalProperties === 'object'
      ? undescribed(node.additionalProperties, `${path}.*`)
      : []),
    ...[...(node.anyOf ?? []), ...(node.oneOf ?? [])].flatMap((branch) => undescribed(branch, path)),
  ];
}

describe('the JSON Schema of a config', () => {
  it('is current in config/', () => {
    expect(
      readFileSync(FILE, 'utf8'),
      'Write it again: npm run build && node dist/main.js config --schema > config/drainby.schema.json',
    ).toBe(configJsonSchemaText());
  });

  it('describes every key in a sentence', () => {
    expect(undescribed(configJsonSchema(), '')).toEqual([]);
  });

  it('would notice a key without a sentence', () => {
    const schema = { properties: { a: { description: 'Said.' }, b: { items: { properties: { c: {} } } } } };
    expect(undescribed(schema, '')).toEqual(['.b', '.b[].c']);
  });
});
