/** Every parameter and field that is used stands in the service's own description, with that type. */
import { readFileSync } from 'node:fs';
import { describe, expect } from 'vitest';
import { parse } from 'yaml';
import {
  archiveQuery,
  ensembleQuery,
  forecastQuery,
  LEAD_DAYS,
  leadVariable,
  previousRunsQuery,
  VARIABLES,
  type Query,
} from '../../src/forecast/open-meteo/request.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { BERLIN, NOW, OSLO } from './open-meteo-setup.ts';

interface Schema {
  readonly type?: string;
  readonly enum?: readonly string[];
  readonly items?: Schema;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: Schema;
}

interface Operation {
  readonly parameters: readonly { readonly name: string; readonly schema: Schema }[];
  readonly responses: Readonly<
    Record<string, { readonly content: Readonly<Record<string, { schema: Schema }>> }>
  >;
}

function operation(api: string, path: string): Operation {
  const text = readFileSync(sharedPath(`specs/open-meteo.${api}.openapi.yml`), 'utf8');
  const spec = parse(text) as { paths: Record<string, { get: Operation }> };
  return spec.paths[path]!.get;
}

function parameter({ parameters }: Operation, name: string): Schema | undefined {
  return parameters.find((one) => one.name === name)?.schema;
}

function answer(one: Operation, status: string): Readonly<Record<string, Schema>> {
  return one.responses[status]!.content['application/json']!.schema.properties!;
}

/** What a query names that the description does not, and values outside its lists. */
function undocumented(query: Query, one: Operation): readonly string[] {
  return Object.entries(query).flatMap(([name, value]) => {
    const schema = parameter(one, name);
    if (schema === undefined) return [name];
    const allowed = schema.enum ?? schema.items?.enum;
    return allowed === undefined ? [] : value.split(',').filter((item) => !allowed.includes(item));
  });
}

const DAYS = { from: NOW - 10 * 86_400, to: NOW };

const APIS = [
  ['forecast', '/v1/forecast', forecastQuery([BERLIN, OSLO], { horizonHours: 384 })],
  [
    'ensemble',
    '/v1/ensemble',
    ensembleQuery([BERLIN, OSLO], { model: 'ecmwf_ifs025_ensemble', horizonHours: 384 }),
  ],
  ['ensemble', '/v1/ensemble', ensembleQuery([BERLIN], { model: 'ncep_gefs025', horizonHours: 24 })],
  ['historical-weather', '/v1/archive', archiveQuery(BERLIN, DAYS)],
] as const;

describe('the description of Open-Meteo', () => {
  for (const [index, [api, path, query]] of APIS.entries()) {
    itWithShared(`knows every parameter and value of query ${index + 1}, to ${path}`, () => {
      const one = operation(api, path);
      expect(undocumented(query, one)).toEqual([]);
      // Heights are documented as one number: the list of `nan`, one for each place, is of the server's own source.
      expect(parameter(one, 'elevation')?.type).toBe('number');
      expect(parameter(one, 'latitude')?.type).toBe('string');
    });

    itWithShared(`knows every field that is read of the answer to query ${index + 1}`, () => {
      const fields = answer(operation(api, path), '200');
      for (const name of ['latitude', 'longitude', 'elevation']) expect(fields[name]?.type).toBe('number');
      expect(fields['hourly']?.type).toBe('object');
      expect(fields['hourly_units']?.type).toBe('object');
      expect(fields['hourly']?.properties?.['time']?.type).toBe('array');
    });
  }

  itWithShared('has each variable as a list of numbers, with a unit that is text', () => {
    const fields = answer(operation('forecast', '/v1/forecast'), '200');
    for (const name of VARIABLES) {
      const series = fields['hourly']?.properties?.[name] ?? fields['hourly']?.additionalProperties;
      expect([name, series?.type, series?.items?.type]).toEqual([name, 'array', 'number']);
      const unit = fields['hourly_units']?.properties?.[name] ?? fields['hourly_units']?.additionalProperties;
      expect([name, unit?.type]).toEqual([name, 'string']);
    }
    const members = answer(operation('ensemble', '/v1/ensemble'), '200')['hourly']?.additionalProperties;
    expect([members?.type, members?.items?.type]).toEqual(['array', 'number']);
  });

  itWithShared('has errors of the shape that is read', () => {
    for (const [api, path] of APIS) {
      const fields = answer(operation(api, path), '400');
      expect([fields['error']?.type, fields['reason']?.type]).toEqual(['boolean', 'string']);
    }
  });

  itWithShared('has the variable behind each lead day; previous runs themselves have no description', () => {
    const hourly = parameter(operation('forecast', '/v1/forecast'), 'hourly')?.items?.enum ?? [];
    const { hourly: asked, ...rest } = previousRunsQuery(BERLIN, DAYS);
    expect(asked).toBe(LEAD_DAYS.map(leadVariable).join(','));
    expect(hourly).toContain('temperature_2m');
    expect(undocumented(rest, operation('forecast', '/v1/forecast'))).toEqual([]);
  });
});
