import { readFileSync } from 'node:fs';
import { describe, expect } from 'vitest';
import { itWithShared, sharedPath } from '../shared-data.ts';

/**
 * The service's own description, ../shared/specs/nws.openapi.json (version 1.9.0): every address, parameter and field
 * that is read exists there, with the type it is read as.
 */
interface Schema {
  readonly $ref?: string;
  readonly type?: string;
  readonly format?: string;
  readonly nullable?: boolean;
  readonly enum?: readonly string[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: Schema | boolean;
  readonly items?: Schema;
  readonly oneOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
}

interface Parameter {
  readonly $ref?: string;
  readonly name: string;
  readonly in: string;
  readonly schema: Schema;
}

interface Operation {
  readonly parameters?: readonly Parameter[];
}

interface Spec {
  readonly info: { readonly version: string };
  readonly paths: Readonly<Record<string, Operation & { readonly get: Operation }>>;
  readonly components: {
    readonly schemas: Readonly<Record<string, Schema>>;
    readonly parameters: Readonly<Record<string, Parameter>>;
  };
}

function spec(): Spec {
  return JSON.parse(readFileSync(sharedPath('specs/nws.openapi.json'), 'utf8')) as Spec;
}

function resolve({ components }: Spec, schema: Schema | undefined): Schema {
  if (schema === undefined) throw new Error('The specification has no such field.');
  const name = schema.$ref?.split('/').at(-1);
  return name === undefined ? schema : resolve({ components } as Spec, components.schemas[name]);
}

/** The field at a path such as `Alert.ends`; `[]` goes into a list. */
function field(from: Spec, path: string): Schema {
  const [root = '', ...steps] = path.split('.');
  let schema = resolve(from, from.components.schemas[root]);
  for (const step of steps) {
    const own = schema.properties?.[step];
    const others = typeof schema.additionalProperties === 'object' ? schema.additionalProperties : undefined;
    schema = resolve(from, step === '[]' ? schema.items : (own ?? others));
  }
  return schema;
}

/** What a field is: `string`, `number?` where it may be null, `A|B` where it is one of several. */
function typeOf(from: Spec, schema: Schema): string {
  const kinds = schema.oneOf?.map((each) => typeOf(from, resolve(from, each)));
  const kind = kinds === undefined ? (schema.type ?? '') : [...new Set(kinds)].join('|');
  return schema.nullable === true ? `${kind}?` : kind;
}

const FIELDS = [
  ['Point.gridId', 'string'],
  ['Point.gridX', 'integer'],
  ['Point.gridY', 'integer'],
  ['Gridpoint.updateTime', 'string'],
  ['Gridpoint.elevation.value', 'number?'],
  ['Gridpoint.elevation.unitCode', 'string'],
  // Layers are named in its description, and typed as whatever is not named in its properties.
  ['Gridpoint.temperature.uom', 'string'],
  ['Gridpoint.temperature.values', 'array'],
  ['Gridpoint.temperature.values.[].validTime', 'string'],
  ['Gridpoint.temperature.values.[].value', 'number?'],
  ['GridpointForecast.periods', 'array'],
  ['GridpointForecast.periods.[].startTime', 'string'],
  ['GridpointForecast.periods.[].temperature', 'object|integer'],
  ['GridpointForecast.periods.[].temperatureUnit', 'string'],
  ['Alert.id', 'string'],
  ['Alert.event', 'string'],
  ['Alert.status', 'string'],
  ['Alert.messageType', 'string'],
  ['Alert.urgency', 'string'],
  ['Alert.sent', 'string'],
  ['Alert.onset', 'string?'],
  ['Alert.expires', 'string'],
  ['Alert.ends', 'string?'],
  ['Alert.senderName', 'string'],
  ['Alert.headline', 'string?'],
  ['Alert.references.[].identifier', 'string'],
  ['Alert.parameters.VTEC', 'array'],
  ['ObservationStation.stationIdentifier', 'string'],
  ['Observation.timestamp', 'string'],
  ['Observation.temperature.value', 'number?'],
  ['Observation.temperature.unitCode', 'string'],
  ['Observation.temperature.qualityControl', 'string'],
  ['ProblemDetail.type', 'string'],
  ['ProblemDetail.title', 'string'],
  ['ProblemDetail.detail', 'string'],
  ['GeoJsonFeatureCollection.features', 'array'],
  ['GeoJsonPolygon.[].[].[]', 'number'],
] as const;

describe('the service’s own description', () => {
  for (const [path, type] of FIELDS) {
    itWithShared(`has ${path} as ${type}`, () => expect(typeOf(spec(), field(spec(), path))).toBe(type));
  }

  itWithShared('names the layers that are read', () => {
    const text = JSON.stringify(spec().components.schemas['Gridpoint']);
    for (const layer of ['temperature', 'minTemperature', 'windSpeed', 'skyCover']) {
      expect(text).toContain(`* ${layer}\\n`);
    }
  });

  itWithShared('has the words that alerts and observations are judged by', () => {
    const words = (path: string): readonly string[] => field(spec(), path).enum ?? [];
    expect(words('Alert.status')).toContain('Actual');
    expect(words('Alert.messageType')).toContain('Cancel');
    expect(words('Alert.urgency')).toContain('Past');
    expect(words('GridpointForecast.periods.[].temperatureUnit')).toEqual(['F', 'C']);
    expect(words('Observation.temperature.qualityControl')).toEqual(expect.arrayContaining(['X', 'Q', 'B']));
  });

  itWithShared('has offices of three letters or digits only', () => {
    const offices = field(spec(), 'Point.gridId').enum!;
    expect(offices.length).toBeGreaterThan(100);
    for (const office of offices) expect(office).toMatch(/^[A-Z0-9]{3}$/);
  });

  const PATHS = [
    ['/points/{point}', []],
    ['/gridpoints/{wfo}/{x},{y}', []],
    ['/gridpoints/{wfo}/{x},{y}/forecast/hourly', []],
    ['/gridpoints/{wfo}/{x},{y}/stations', []],
    ['/alerts/active', ['point', 'status']],
    ['/stations/{stationId}/observations', ['limit']],
  ] as const;

  for (const [path, wanted] of PATHS) {
    itWithShared(`has ${path} and its parameters, for others are refused`, () => {
      const { paths, components } = spec();
      const given = paths[path]!.get.parameters ?? [];
      const names = given.map((parameter) => {
        const name = parameter.$ref?.split('/').at(-1);
        return name === undefined ? parameter.name : components.parameters[name]!.name;
      });
      expect(names).toEqual(expect.arrayContaining([...wanted]));
    });
  }
});
