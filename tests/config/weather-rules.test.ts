import { describe, expect, it } from 'vitest';
import type { OpenMeteoConfig } from '../../src/config/config.ts';
import { SMALL, mistakesOf, parse } from './sample.ts';

const sources = (list: string, rest = ''): string => `${SMALL}weather:\n  sources: [${list}]\n${rest}`;
const mqtt = (subscription: string): string =>
  `${SMALL}readings: { mqtt: { url: "mqtt://127.0.0.1", subscriptions: [{ ${subscription} }] } }\n`;

const REFUSED: readonly (readonly [rule: string, text: string, found: string])[] = [
  [
    'a service that wants to know whom it serves',
    sources('{ id: us, kind: nws }'),
    '19:29 weather.sources[0].kind: needs weather.contact, by which the service can reach you, found none for "nws"',
  ],
  [
    'a contact that reaches nobody',
    `${SMALL}weather: { contact: me }\n`,
    '18:21 weather.contact: must be an e-mail address or a web address at which the services can reach you, such as "ann@example.org", found "me"',
  ],
  [
    'an ensemble that is no name',
    sources('{ id: m, kind: open-meteo, ensembles: ["a b"] }'),
    '19:52 weather.sources[0].ensembles[0]: must be the name of an ensemble model such as "ecmwf_ifs025_ensemble", found "a b"',
  ],
  [
    'no calls at all',
    sources('{ id: m, kind: open-meteo, callsPerDay: 0 }'),
    '19:53 weather.sources[0].callsPerDay: must be a whole number from 1 to 100000000, found 0',
  ],
  [
    'ensembles of a service that has none',
    sources('{ id: n, kind: met-norway, ensembles: [] }', '  contact: ann@example.org\n'),
    '19:40 weather.sources[0].ensembles: does not belong to this kind',
  ],
  [
    'a night bias below zero',
    `${SMALL}weather: { nightBias: -1 K }\n`,
    '18:23 weather.nightBias: must be at least 0 K, found "-1 K"',
  ],
  [
    'a token that nothing serves',
    `${SMALL}readings: { tokenEnv: DRAINBY_TOKEN }\n`,
    '18:23 readings.tokenEnv: needs web.listen, where readings are taken in, found no web',
  ],
  [
    'two places of one secret',
    `${SMALL}web: { listen: "127.0.0.1:8787" }\nreadings: { tokenEnv: A, tokenFile: ./t }\n`,
    '19:37 readings.tokenFile: must not stand beside tokenEnv: give one, found both',
  ],
  [
    'a broker with a password in its address',
    `${SMALL}readings: { mqtt: { url: "mqtt://a:b@127.0.0.1", subscriptions: [{ topic: t, place: creek }] } }\n`,
    '18:26 readings.mqtt.url: must be an address that begins with mqtt:// or mqtts://, without a password',
  ],
  [
    'a sensor of nowhere',
    mqtt('topic: t'),
    '18:71 readings.mqtt.subscriptions[0].topic: needs a place or a unit that it belongs to, found neither',
  ],
  [
    'a sensor of two',
    mqtt('topic: t, place: creek, unit: blue'),
    '18:71 readings.mqtt.subscriptions[0].topic: needs a place or a unit that it belongs to, found both',
  ],
  [
    'a sensor of a stranger',
    mqtt('topic: t, unit: blu'),
    '18:80 readings.mqtt.subscriptions[0].unit: there is no unit of that id, found "blu"; did you mean "blue"?',
  ],
  [
    'a zone without a unit',
    mqtt('topic: t, place: creek, zone: inside'),
    '18:94 readings.mqtt.subscriptions[0].zone: needs a unit that has this zone; a place has its outside air only',
  ],
  [
    'a topic with a wildcard',
    mqtt('topic: "yard/#", place: creek'),
    '18:71 readings.mqtt.subscriptions[0].topic: must be a topic without wildcards such as "yard/creek/temperature", found "yard/#"',
  ],
];

describe('what a file says of services and sensors', () => {
  it.each(REFUSED)('is refused for %s', (_, text, found) => {
    expect(mistakesOf(text).map((line) => line.replace(/, found "mqtt.*$/, ''))).toEqual([
      `my.yaml:${found}`,
    ]);
  });

  it('asks the public service for two ensembles, and a server of one’s own for none unless told', () => {
    const open = (text: string): OpenMeteoConfig => parse(text).weather.sources[0] as OpenMeteoConfig;
    expect(open(SMALL)).toMatchObject({
      ensembles: ['ecmwf_ifs025_ensemble', 'ncep_gefs_seamless'],
      ensembleUrl: 'https://ensemble-api.open-meteo.com',
      archiveUrl: 'https://archive-api.open-meteo.com',
      previousRunsUrl: 'https://previous-runs-api.open-meteo.com',
      callsPerDay: null,
    });
    const own = '{ id: m, kind: open-meteo, baseUrl: "http://127.0.0.1:1/" }';
    expect(open(sources(own))).toMatchObject({
      ensembles: [],
      ensembleUrl: 'http://127.0.0.1:1',
      archiveUrl: null,
      previousRunsUrl: null,
    });
    expect(open(sources(own.replace(' }', ', ensembles: [abc_eps] }'))).ensembles).toEqual(['abc_eps']);
    const paid = '{ id: m, kind: open-meteo, baseUrl: "https://customer-api.open-meteo.com" }';
    expect(open(sources(paid)).ensembleUrl).toBe('https://customer-ensemble-api.open-meteo.com');
  });

  it('finds the place of a sensor in a unit', () => {
    const { readings } = parse(mqtt('topic: t, unit: blue, zone: underbelly, path: a.0, temperature: F'));
    expect(readings.mqtt?.subscriptions).toEqual([
      {
        topic: 't',
        path: 'a.0',
        timePath: null,
        temperature: 'F',
        place: 'creek',
        unit: 'blue',
        zone: 'underbelly',
      },
    ]);
  });
});
