import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  MachineMessageSchema,
  MachineStateSchema,
  messageJsonSchemaText,
  stateJsonSchemaText,
} from '../../src/delivery/machine-schema.ts';

function read(path: string): string {
  return readFileSync(fileURLToPath(new URL(`../../${path}`, import.meta.url)), 'utf8');
}

describe.each([
  ['message', messageJsonSchemaText, MachineMessageSchema],
  ['state', stateJsonSchemaText, MachineStateSchema],
] as const)('the schema of a %s', (name, text, schema) => {
  it('is current in config/', () => {
    expect(read(`config/drainby.${name}.schema.json`), 'Write it again: npm run schema').toBe(text());
  });

  it('lets fields be added', () => {
    expect(text()).not.toContain('"additionalProperties": false');
  });

  it('has its every field in docs/machines.md, under its own heading', () => {
    const section = read('docs/machines.md')
      .split(/^## /m)
      .find((part) => part.includes(`\`drainby.${name}/1\`\n`));
    const rows = [...(section ?? '').matchAll(/^\| `(\w+)`/gm)].map(([, field = '']) => field);
    expect(rows.toSorted()).toEqual(Object.keys(schema.shape).toSorted());
  });
});

it('no machine is asked for anything but the furnace', () => {
  expect(MachineStateSchema.shape.heat.options).toEqual(['furnace-on', 'unchanged']);
  expect(MachineMessageSchema.shape.heat.options).toEqual(['furnace-on', 'unchanged']);
});
