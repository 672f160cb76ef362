/** What the words about heat, power and protection mean, and that configs from before them still mean the same. */
import { describe, expect, it } from 'vitest';
import { describeConfig } from '../../src/config/describe.ts';
import { formatDescription } from '../../src/config/description-text.ts';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { FULL, SMALL, parse } from './sample.ts';

/** NIST SP 811 (2008), appendix B.8. */
const POUND_KG = 0.453_592_37;
const MPH_MPS = 0.447_04;

function configOf(lines: readonly string[]) {
  const contacts = '    contacts: [ann]';
  return parse(SMALL.replace(contacts, [...lines.map((line) => `    ${line}`), contacts].join('\n')));
}

function unitOf(...lines: readonly string[]) {
  return configOf(lines).units[0]!;
}

const FURNACE = 'heat: { set: 18 °C, furnace: 6 kW }';
const GASSED = 'heat: { set: 18 °C, furnace: 6 kW, propane: 60 lb }';

describe('the water heater', () => {
  it.each([
    [['attended: true', GASSED], 'gas'],
    [['attended: true', FURNACE], 'shore'],
    [['attended: true', 'heat: { set: 18 °C, furnace: 6 kW, running: false }'], 'off'],
    [['attended: true'], 'off'],
    [[GASSED], 'off'],
    [[GASSED, 'waterHeater: on'], 'gas'],
    [[FURNACE, 'waterHeater: on'], 'shore'],
    [[FURNACE, 'waterHeater: on', 'power: { supply: battery }'], 'gas'],
    [[GASSED, 'waterHeater: shore'], 'shore'],
    [['attended: true', GASSED, 'waterHeater: off'], 'off'],
  ] as const)('with %j is taken as %s', (lines, taken) => {
    expect(unitOf(...lines).spec.waterHeater).toBe(taken);
  });
});

describe('gas', () => {
  it.each([
    ['travel-trailer', '20 lb', 20],
    ['travel-trailer', '60 lb', 30],
    ['motorhome', '40 lb', 80],
    ['van', '100 lb', 100],
  ])('of a %s with %s is in cylinders of %d lb', (kind, propane, pounds) => {
    const text = SMALL.replace('travel-trailer', kind).replace(
      '    contacts: [ann]',
      `    contacts: [ann]\n    heat: { set: 18 °C, furnace: 6 kW, propane: ${propane} }`,
    );
    expect(parse(text).units[0]?.spec.heat?.gas?.cylinderKg).toBeCloseTo(pounds * POUND_KG, 9);
  });

  it('is on board once, or renewed in time where somebody lives', () => {
    const refilled = (...lines: readonly string[]) => unitOf(...lines).spec.heat?.gas?.refilled;
    expect(refilled(GASSED)).toBe(false);
    expect(refilled(GASSED, 'attended: true')).toBe(true);
    expect(refilled(GASSED.replace(' }', ', refilled: false }'), 'attended: true')).toBe(false);
  });
});

describe('power', () => {
  it('of a 30-A post is 2.9 kW for long', () => {
    // Common practice: 3.6 kW, 2.9 continuous.
    const limit = unitOf('power: { breaker: 30 A }').model.electrics?.limitW ?? 0;
    expect(limit / 2900).toBeCloseTo(1, 1);
    expect(unitOf('power: { breaker: 16 A, voltage: 230 V }').model.electrics?.limitW).toBeCloseTo(2944, 6);
  });

  it('of a 50-A post is 9.6 kW for long, on two legs of 120 V', () => {
    // Common practice, no source: 12 kW, of which 0.8 for hours.
    const limit = (power: string) => unitOf(power).model.electrics?.limitW;
    expect(limit('power: { breaker: 50 A }')).toBeCloseTo(9600, 6);
    expect(limit('power: { breaker: 50 A, legs: 1 }')).toBeCloseTo(4800, 6);
    expect(limit('power: { breaker: 30 A, legs: 2 }')).toBeCloseTo(5760, 6);
    // Said as the whole of it, it is the same post.
    expect(limit('power: { breaker: 50 A, voltage: 240 V }')).toBeCloseTo(9600, 6);
    const said = (power: string) => unitOf(power).model.assumptions.join(' ');
    expect(said('power: { breaker: 50 A }')).toContain('two legs of 120 V that carry 4.8 kW each for long');
    expect(said('power: { breaker: 50 A, legs: 1 }')).not.toContain('legs');
    expect(said('power: { breaker: 30 A }')).not.toContain('legs');
  });

  it('is overdrawn by 4.4 kW and says so', () => {
    const config = configOf([
      'waterHeater: shore',
      'heat: { set: 18 °C, furnace: 6 kW, electric: 3 kW }',
      'power: { breaker: 30 A }',
    ]);
    const text = formatDescription(describeConfig(config), config.display);
    expect(text.replace(/\s+/gu, ' ')).toContain(
      'breaker bears 2.88 kW, loads 4.4 kW in all, more than it bears for long',
    );
  });

  it('from a battery is that of the battery given, or of an ordinary one, and says which', () => {
    const off = (battery: string) => unitOf(FURNACE, `power: { supply: battery${battery} }`);
    expect(off('').spec.heat).toMatchObject({ shore: false, battery: { usableAh: 42.5 } });
    expect(off('').model.assumptions.join(' ')).toContain('The battery is not given: one of 85 Ah');
    const own = off(', battery: { capacity: 200 Ah, kind: lithium, charge: 0.5, age: 12 months }');
    expect(own.spec.heat?.battery?.usableAh).toBeCloseTo(200 * 0.5 * 0.9 * 0.98, 9);
    expect(own.model.assumptions.join(' ')).not.toContain('battery is not given');
  });

  it('on shore needs no battery, and keeps one for when it fails', () => {
    expect(unitOf(FURNACE).spec.heat?.battery).toBeUndefined();
    const kept = unitOf(FURNACE, 'power: { battery: { capacity: 85 Ah } }').spec.heat;
    expect(kept).toMatchObject({ shore: true, battery: { usableAh: 42.5 } });
  });
});

describe('heat', () => {
  it('may be electric, with a heat pump that stops at 4 °C', () => {
    const { heat } = unitOf('heat: { set: 18 °C, electric: 1.5 kW, heatPump: { power: 3 kW } }').spec;
    expect(heat).toMatchObject({ furnaceW: 0, electricW: 1500, heatPump: { watts: 3000, limitC: 4 } });
  });

  it('of a furnace falls with the height of the place', () => {
    const high = parse(
      SMALL.replace('    latitude', '    elevation: 5000 ft\n    latitude').replace(
        '    contacts: [ann]',
        `    contacts: [ann]\n    ${FURNACE}`,
      ),
    );
    // 4 % per 1,000 ft: common practice.
    expect(high.units[0]?.model.heat?.capacityW).toBeCloseTo(0.8 * 6000, 6);
  });
});

describe('what protects a unit', () => {
  it('is handed to the model', () => {
    const { spec, model } = unitOf(
      'belly: enclosed',
      'bellySkin: torn',
      'shelter: row',
      'cupboards: open',
      'hose: heated',
      'tankPads: 120 W',
      'tanks: { fresh: 0.4, black: 0 }',
      'towing: [{ from: "2026-12-01T12:00:00Z", until: "2026-12-01T18:00:00Z", speed: 55 mph }]',
    );
    expect(spec).toMatchObject({
      bellySkin: 'torn',
      shelter: 'row',
      cupboardsOpen: true,
      hoseConnected: true,
      hoseHeated: true,
      tankPadW: 120,
      tanks: { fresh: 0.4, black: 0 },
    });
    expect(model.tows).toEqual([
      {
        from: Date.UTC(2026, 11, 1, 12) / 1000,
        until: Date.UTC(2026, 11, 1, 18) / 1000,
        speedMps: expect.closeTo(55 * MPH_MPS, 9) as number,
      },
    ]);
    expect(model.windReaching).toBe(0.5);
  });

  it('is described within the width of a terminal, with where each number comes from', () => {
    const config = configOf([
      'belly: heated',
      'shelter: barn',
      'skirting: vinyl',
      'hose: heated',
      'tankPads: 120 W',
      'tanks: { fresh: 0.4 }',
      GASSED,
      'power: { breaker: 30 A, battery: { capacity: 85 Ah } }',
      'parts: { lines: [{ id: run, zone: bay, circuit: cold, tube: pex-3/4, length: 10 ft, tape: 5 W/ft }] }',
    ]);
    const description = describeConfig(config);
    const text = formatDescription(description, config.display);
    expect(text.split('\n').filter((line) => line.length > 80)).toEqual([]);
    for (const { path } of description.units[0]!.stated) expect(text).toContain(`- ${path}: `);
    expect(text).toContain('bay (15 % inside, 85 % barn, follows in 90 min)');
    expect(description.units[0]).toMatchObject({ hose: 'heated', shelter: 'barn', tankPadW: 120 });
  });

  it('may be lines by tube and length', () => {
    const { spec, model } = unitOf(
      'parts: { lines: [{ id: run, zone: bay, circuit: cold, tube: pex-3/4, length: 10 ft, sleeve: 0.5 in, tape: 5 W/ft }] }',
    );
    expect(spec.parts.lines).toEqual([
      {
        id: 'run',
        label: null,
        zone: 'bay',
        circuit: 'cold',
        tube: 'pex-3/4',
        lengthM: expect.closeTo(3.048, 12) as number,
        sleeveM: expect.closeTo(0.0127, 12) as number,
        tapeWPerM: expect.closeTo(5 / 0.3048, 9) as number,
      },
    ]);
    expect(model.parts.at(-1)).toMatchObject({ id: 'run', heat: { needs: 'shore' } });
  });

  it('counts the ice that the policy counts', () => {
    const text = `${SMALL}policy: { rule: simple, thresholds: { blocked: { rigid: 0.3 }, solid: 0.92 } }\n`;
    const config = parse(text);
    expect(config.policy).toMatchObject({
      rule: 'simple',
      thresholds: { blocked: { rigid: 0.3, flexible: 0.9 }, solid: 0.92 },
    });
    const parts = config.units[0]?.model.parts ?? [];
    expect(new Set(parts.map(({ body, blocked, solid }) => `${body} ${blocked} ${solid}`))).toEqual(
      new Set(['rigid 0.3 0.92', 'flexible 0.9 0.92']),
    );
  });
});

describe('a config from before all this', () => {
  it('still means what it meant', () => {
    const { model, spec } = parse(FULL).units[0]!;
    expect(spec.heat?.gas).toMatchObject({ kg: expect.closeTo(20 * POUND_KG, 12) as number });
    expect(model).toMatchObject({ windReaching: 1 });
    expect(model.electrics).toBeUndefined();
    expect(
      model.network.paths.map(({ name, calmWPerK, windWPerKPerMps }) => [name, calmWPerK, windWPerKPerMps]),
    ).toEqual([
      ['insideOutside', 175, 0],
      ['insideUnderbelly', 17, 0],
      ['underbellyUnderneath', 43, 0],
      ['underneathOutside', 35, 0],
      ['underneathGround', 0, 0],
    ]);
    expect(model.parts[0]).toMatchObject({ id: 'probe', windShare: 0, blocked: 0.2, solid: 0.95 });
    expect(parse(FULL).policy).toEqual(DEFAULT_POLICY);
  });
});
