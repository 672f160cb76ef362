import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { z } from 'zod';
import { forecastWire, UNITS } from '../../src/forecast/met-norway/wire.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';

/** The part of JSON schema that the service's own specification uses. */
interface Schema {
  readonly $ref?: string;
  readonly type?: string;
  readonly enum?: readonly string[];
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
  readonly required?: readonly string[];
}

/** Follows a path of property names, `[]` for the items of an array, through references. */
function at(path: string): Schema {
  const all = JSON.parse(
    readFileSync(sharedPath('specs/metno.METJSONForecast.schema.json'), 'utf8'),
  ) as Readonly<Record<string, Schema>>;
  const follow = (schema: Schema | undefined): Schema => {
    if (schema === undefined) throw new Error(`The specification does not have ${path}.`);
    return schema.$ref === undefined ? schema : follow(all[schema.$ref.split('/').at(-1)!]);
  };
  return path
    .split('.')
    .filter((name) => name !== '')
    .reduce(
      (schema, name) => follow(name === '[]' ? schema.items : schema.properties?.[name]),
      follow(all['METJSONForecast']),
    );
}

/** What the values of the wire schema are, field by field; a list of named values in the specification is a map. */
function fieldsOf(
  schema: z.core.JSONSchema._JSONSchema,
  path = '',
): readonly (readonly [path: string, type: string])[] {
  if (typeof schema === 'boolean') return [];
  const known = schema.anyOf?.find((one) => typeof one === 'object' && one.type !== 'null');
  if (known !== undefined) return fieldsOf(known, path);
  const own = [[path, [schema.type].flat()[0] ?? 'string']] as const;
  if (/(details|units)$/.test(path)) return own;
  const below = Object.entries(schema.properties ?? {}).flatMap(([name, one]) =>
    fieldsOf(one, `${path}.${name}`),
  );
  const item = schema.items ?? schema.prefixItems?.[0];
  return [
    ...own,
    ...below,
    ...(typeof item === 'object' && !Array.isArray(item) ? fieldsOf(item, `${path}.[]`) : []),
  ];
}

const FIELDS = fieldsOf(z.toJSONSchema(forecastWire)).map(([path, type]) => [path.slice(1), type] as const);

it('the wire schema is walked to its leaves', () => {
  expect(FIELDS.length).toBeGreaterThan(15);
  expect(FIELDS).toContainEqual(['properties.timeseries.[].data.next_6_hours.details', 'object']);
});

for (const [path, type] of FIELDS) {
  itWithShared(`the specification has ${path === '' ? 'the whole' : path} as ${type}`, () => {
    expect(at(path).type).toBe(type);
  });
}

itWithShared('the variables that are read stand in a recorded answer in the units that are expected', () => {
  const text = readFileSync(sharedPath('recordings/met-norway/complete-percentiles-2022-08.json'), 'utf8');
  const { properties } = JSON.parse(text) as { properties: { meta: { units: Record<string, string> } } };
  expect(properties.meta.units).toMatchObject(UNITS);
});

itWithShared('the specification says longitude first, times in UTC, and values by name', () => {
  expect(at('type').enum).toEqual(['Feature']);
  expect(at('geometry.type').enum).toEqual(['Point']);
  expect(at('geometry.coordinates').description).toMatch(/longitude, latitude, altitude/);
  expect(at('properties.timeseries.[].time').description).toMatch(/YYYY-MM-DDThh:mm:ssZ/);
  expect(at('properties.timeseries.[].data.instant.details').description).toMatch(/string to float map/);
  expect(at('properties.meta.units').description).toMatch(/string -> string mapping of units/);
});

itWithShared('the specification requires what the parser refuses to do without', () => {
  expect(at('').required).toEqual(expect.arrayContaining(['type', 'geometry', 'properties']));
  expect(at('properties.meta').required).toEqual(expect.arrayContaining(['updated_at', 'units']));
  expect(at('properties.timeseries.[].data').required).toEqual(['instant']);
});
