/** Heat, power, tanks, lines and journeys that cannot be together: each rule by a file that breaks it. */
import { describe, expect, it } from 'vitest';
import { SMALL, mistakesOf } from './sample.ts';

/** The small config with more lines in its unit (from line 9 on), and its mistakes without the file's name. */
function mistakes(lines: readonly string[]): readonly string[] {
  const contacts = '    contacts: [ann]';
  const text = SMALL.replace(contacts, [...lines.map((line) => `    ${line}`), contacts].join('\n'));
  return mistakesOf(text).map((mistake) => mistake.replace('my.yaml:', ''));
}

const OFF_GRID = 'power: { supply: battery }';
const NEEDS_SHORE = 'needs shore power, found supply: battery';
const LINE = 'id: run, zone: bay, circuit: cold, tube: pex-1/2, length: 3 m';
const GARDEN = 'water: { state: in-use, circuits: { garden: { state: drained } } }';

const RULES: readonly (readonly [rule: string, lines: readonly string[], found: readonly string[]])[] = [
  [
    'heat from nothing',
    ['heat: { set: 18 °C }'],
    ['9:11 units[0].heat.furnace: is missing; give furnace, electric or heatPump, or heat: none'],
  ],
  [
    'a furnace on an empty cylinder',
    ['heat: { set: 18 °C, furnace: 6 kW, propane: 0 kg }'],
    ['9:49 units[0].heat.propane: must be above 0 kg, found "0 kg"'],
  ],
  [
    'a cylinder without gas',
    ['heat: { set: 18 °C, furnace: 6 kW, cylinder: 20 lb }'],
    ['9:50 units[0].heat.cylinder: needs propane beside it, found none'],
  ],
  [
    'cylinders to be changed without gas',
    ['heat: { set: 18 °C, furnace: 6 kW, refilled: true }'],
    ['9:50 units[0].heat.refilled: needs propane beside it, found none'],
  ],
  [
    'a duct without a furnace',
    ['heat: { set: 18 °C, electric: 1.5 kW, ductedShare: 0.1 }'],
    ['9:56 units[0].heat.ductedShare: needs furnace beside it, found none'],
  ],
  [
    'electric heat off shore power',
    [OFF_GRID, 'heat: { set: 18 °C, furnace: 6 kW, electric: 1.5 kW, heatPump: { power: 3 kW } }'],
    [`10:50 units[0].heat.electric: ${NEEDS_SHORE}`, `10:68 units[0].heat.heatPump: ${NEEDS_SHORE}`],
  ],
  [
    'what else needs shore power off it',
    [
      'power: { supply: battery, breaker: 30 A, other: 300 W }',
      'waterHeater: shore',
      'hose: heated',
      'tankPads: 100 W',
      `parts: { lines: [{ ${LINE}, tape: 15 W/m }] }`,
    ],
    [
      `9:40 units[0].power.breaker: ${NEEDS_SHORE}`,
      `9:53 units[0].power.other: ${NEEDS_SHORE}`,
      `10:18 units[0].waterHeater: ${NEEDS_SHORE}`,
      `11:11 units[0].hose: ${NEEDS_SHORE}`,
      `12:15 units[0].tankPads: ${NEEDS_SHORE}`,
      `13:93 units[0].parts.lines[0].tape: ${NEEDS_SHORE}`,
    ],
  ],
  [
    'a belly skin without a belly',
    ['bellySkin: foil'],
    ['9:16 units[0].bellySkin: belongs to a belly that is enclosed or heated, found an open one'],
  ],
  [
    'a barn’s numbers without a barn',
    ['network: { barnOutside: 200 W/K }'],
    ['9:29 units[0].network.barnOutside: belongs to shelter: barn, found no barn'],
  ],
  [
    'pads under empty tanks',
    ['tanks: { fresh: 0, grey: 0, black: 0 }', 'tankPads: 100 W'],
    [
      '10:15 units[0].tankPads: must not heat an empty tank; they need one with water, found empty tanks only',
    ],
  ],
  [
    'pads where there is no tank',
    [`parts: { catalogue: false, lines: [{ ${LINE} }] }`, 'tankPads: 100 W'],
    [
      "10:15 units[0].tankPads: must not heat an empty tank; they need one with water, found a unit without the catalogue's tanks",
    ],
  ],
  [
    'a fill of a tank that is not there',
    ['parts: { without: [black-tank] }', 'tanks: { black: 0.5 }'],
    [
      "10:21 units[0].tanks.black: needs the catalogue's part black-tank, which this unit has not (parts.add), found 0.5",
    ],
  ],
  [
    'a tank more than full',
    ['tanks: { fresh: 1.2 }'],
    ['9:21 units[0].tanks.fresh: must be a number from 0 to 1, found 1.2'],
  ],
  [
    'a burning water heater that is not there',
    ['parts: { without: [heater-tank] }', 'waterHeater: gas'],
    [
      '10:18 units[0].waterHeater: needs the catalogue\'s part heater-tank, which this unit has not (parts.add), found "gas"',
    ],
  ],
  [
    'the protection of a tankless heater that is not there',
    ['tanklessProtection: true'],
    [
      "9:25 units[0].tanklessProtection: needs the catalogue's part tankless-heater, which this unit has not (parts.add), found true",
    ],
  ],
  [
    'valves of an outside shower that is not there',
    ['parts: { without: [outside-shower, outside-shower-hot] }', 'outsideShowerValves: true'],
    [
      "10:26 units[0].outsideShowerValves: needs the catalogue's part outside-shower, which this unit has not (parts.add), found true",
    ],
  ],
  [
    'a journey that ends before it begins',
    ['towing: [{ from: "2026-12-01T12:00:00Z", until: "2026-12-01T06:00:00Z", speed: 55 mph }]'],
    [
      '9:53 units[0].towing[0].until: must be after from (2026-12-01T12:00:00Z), found "2026-12-01T06:00:00Z"',
    ],
  ],
  [
    'two journeys at once',
    [
      'towing:',
      '  - { from: "2026-12-01T12:00:00Z", until: "2026-12-01T18:00:00Z", speed: 55 mph }',
      '  - { from: "2026-12-01T17:00:00Z", until: "2026-12-01T20:00:00Z", speed: 90 km/h }',
    ],
    [
      '11:17 units[0].towing[1].from: must not overlap another journey of this unit, found "2026-12-01T17:00:00Z"',
    ],
  ],
  [
    'two lines of one id',
    [`parts: { lines: [{ ${LINE} }, { ${LINE} }] }`],
    ['9:95 units[0].parts.lines[1].id: each part needs an id of its own, found "run" again'],
  ],
  [
    'a line with the id of an own part',
    [
      `parts: { own: [{ id: run, zone: bay, circuit: cold, water: 1 kg, conductance: 1 W/K }], lines: [{ ${LINE} }] }`,
    ],
    ['9:107 units[0].parts.lines[0].id: each part needs an id of its own, found "run" again'],
  ],
  [
    'a tube that nobody makes',
    ['parts: { lines: [{ id: run, zone: bay, circuit: cold, tube: pex-9/8, length: 3 m }] }'],
    [
      '9:65 units[0].parts.lines[0].tube: must be pex-3/8, pex-1/2, pex-5/8, pex-3/4, copper-3/8, copper-1/2, copper-3/4, hose-1/2 or hose-5/8, found "pex-9/8"; did you mean "pex-3/8"?',
    ],
  ],
  [
    'tape by power alone',
    [`parts: { lines: [{ ${LINE}, tape: 60 W }] }`],
    [
      '9:93 units[0].parts.lines[0].tape: expected a power per length such as "15 W/m" or "5 W/ft" (units: W/m, W/ft), found "60 W"',
    ],
  ],
  [
    'a breaker in watts',
    ['power: { breaker: 3600 W }'],
    ['9:23 units[0].power.breaker: expected a current such as "30 A" or "50 A" (units: A), found "3600 W"'],
  ],
  [
    'a post of three legs',
    ['power: { breaker: 50 A, legs: 3 }'],
    ['9:35 units[0].power.legs: must be a whole number from 1 to 2, found 3'],
  ],
  [
    'legs off shore power',
    [OFF_GRID.replace('battery }', 'battery, legs: 2 }')],
    [`9:37 units[0].power.legs: ${NEEDS_SHORE}`],
  ],
  [
    'a battery without its capacity',
    ['power: { battery: { kind: lithium } }'],
    ['9:23 units[0].power.battery.capacity: is missing; it is required'],
  ],
];

describe('the protection of a unit', () => {
  it.each(RULES)('is refused for: %s', (_, lines, found) => {
    expect(mistakes(lines)).toEqual(found);
  });

  it.each([
    ['an empty tank without a pad', ['tanks: { fresh: 0, grey: 0, black: 0 }']],
    ['pads where one tank has water', ['tanks: { fresh: 0, grey: 0.1, black: 0 }', 'tankPads: 100 W']],
    ['a fill of a small tank', ['tanks: { fresh: 0.4 }']],
    ['heat by electricity alone', ['heat: { set: 10 °C, electric: 1500 W }']],
    ['a line in the place of a part', [`parts: { lines: [{ ${LINE.replace('run', 'cold-line')} }] }`]],
    ['lines alone', [`parts: { catalogue: false, lines: [{ ${LINE} }] }`, 'waterHeater: off']],
    [
      'journeys one after the other',
      [
        'towing:',
        '  - { from: "2026-12-01T12:00:00Z", until: "2026-12-01T18:00:00Z", speed: 55 mph }',
        '  - { from: "2026-12-01T18:00:00Z", until: "2026-12-01T20:00:00Z", speed: 55 mph }',
      ],
    ],
    ['a battery beside shore power', ['power: { breaker: 30 A, battery: { capacity: 85 Ah } }']],
    ['the circuit of a line', [`parts: { lines: [{ ${LINE.replace('cold', 'garden')} }] }`, GARDEN]],
  ])('is accepted with %s', (_, lines) => {
    expect(mistakes(lines)).toEqual(['(none)']);
  });
});

describe('the ice that counts', () => {
  it.each([
    [
      'thresholds: { solid: 0.5 }',
      '18:32 policy.thresholds.solid: must not be below what blocks a flexible body (0.9), found 0.5',
    ],
    [
      'thresholds: { blocked: { rigid: 0.97 } }',
      '18:43 policy.thresholds.blocked.rigid: must not be above solid (0.95), found 0.97',
    ],
    ['rule: thumb', '18:17 policy.rule: must be computed or simple, found "thumb"'],
  ])('is refused as %s', (policy, found) => {
    expect(mistakesOf(`${SMALL}policy: { ${policy} }\n`)).toEqual([`my.yaml:${found}`]);
  });
});
