import { parseConfig } from '../../src/config/parse.ts';
import type { Config } from '../../src/config/config.ts';
import { ConfigError } from '../../src/errors.ts';

/** A small valid config, one field a line, to break one line at a time. */
export const SMALL = `places:
  - id: creek
    latitude: 39.61
    longitude: -106.05
units:
  - id: blue
    place: creek
    kind: travel-trailer
    contacts: [ann]
people:
  - id: ann
    name: Ann Example
    email: ann@example.org
delivery:
  email:
    host: 127.0.0.1
    from: drainby@example.org
`;

/** The whole of the documented example, every section in use. */
export const FULL = `display: { temperature: F, length: ft }
weather:
  horizon: 16 d
  sources:
    - { id: meteo, kind: open-meteo, baseUrl: "https://api.open-meteo.com", apiKeyEnv: OPEN_METEO_KEY, staleAfter: 12 h }
    - { id: series, kind: file, path: ./series.csv }
  errorModel: { kind: growing, atStart: 1.0 K, perDay: 0.3 K, members: 51 }
places:
  - { id: creek, label: Creek row, latitude: 39.61, longitude: -106.05, elevation: 9055 ft, timeZone: America/Denver,
      lie: bench, coldSpot: 0 K, sources: [series, meteo] }
units:
  - id: blue
    label: Blue trailer
    place: creek
    kind: travel-trailer
    length: 24 ft
    belly: enclosed
    skirting: none
    attended: false
    heat: { set: 64 °F, furnace: 6 kW, ductedShare: 0.05, propane: 20 lb }
    water: { state: in-use, since: "2026-10-01T00:00:00Z" }
    contacts: [ann]
    work: { keepWarm: 20 min, drain: 45 min, winterize: 90 min, travel: 40 min }
    network: { insideCapacity: 2.0 MJ/K, underbellyCapacity: 0.32 MJ/K, underneathCapacity: 0.17 MJ/K, insideOutside: 175 W/K,
               insideUnderbelly: 17 W/K, underbellyUnderneath: 43 W/K, underneathOutside: 35 W/K, underneathGround: 0 W/K }
    parts:
      catalogue: false
      own:
        - { id: probe, zone: outside, circuit: cold, water: 0.1143 kg, conductance: 0.5 W/K, startTemperature: 10 °C,
            body: rigid, blocked: 0.2, solid: 0.95, pocket: true }
people:
  - { id: ann, name: Ann Example, email: ann@example.org, temperature: F, timeZone: America/Denver, quiet: "22:00-07:00", headsUp: 5 d }
delivery:
  email: { host: 127.0.0.1, port: 2525, security: none, from: drainby@example.org }
  file: { directory: ./sent }
policy:
  window: 72 h
  tolerance: { nothing: 0.05, keep-warm: 0.05, drain: 0.25 }
  sustained: { at: -4 °C, hours: 6 }
  margin: 2 h
  daylight: true
store: { path: ./drainby.db }
web: { listen: "127.0.0.1:8787", publicUrl: "http://127.0.0.1:8787" }
`;

export function parse(text: string): Config {
  return parseConfig(text, { file: 'my.yaml', resolvePath: (path) => `/base/${path.replace(/^\.\//, '')}` });
}

/** Every mistake of a text that must not be accepted. */
export function mistakesOf(text: string): readonly string[] {
  try {
    parse(text);
  } catch (error) {
    if (error instanceof ConfigError) return error.problems;
    throw error;
  }
  return ['(none)'];
}
