import { describe, expect, it } from 'vitest';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { FULL, SMALL, parse } from './sample.ts';

/** 1 ft = 0.3048 m and 1 lb = 0.45359237 kg, exact (NIST SP 811, 2008, appendix B.8). */
const FOOT_M = 0.3048;
const POUND_KG = 0.453_592_37;

function everythingIn(value: unknown): readonly object[] {
  if (typeof value !== 'object' || value === null) return [];
  return [value, ...Object.values(value).flatMap(everythingIn)];
}

function unit(lines: string) {
  const config = parse(SMALL.replace('    contacts: [ann]', `    contacts: [ann]\n${lines}`));
  return config.units[0]!;
}

describe('a full config', () => {
  const config = parse(FULL);

  it('has its places in base units', () => {
    expect(config.places).toEqual([
      {
        id: 'creek',
        label: 'Creek row',
        latitude: 39.61,
        longitude: -106.05,
        elevationM: expect.closeTo(9055 * FOOT_M, 9) as number,
        timeZone: 'America/Denver',
        lie: 'bench',
        coldSpotK: 0,
        sources: ['series', 'meteo'],
        managers: [],
        water: null,
      },
    ]);
  });

  it('has its units in base units', () => {
    expect(config.units[0]?.spec).toEqual({
      id: 'blue',
      kind: 'travel-trailer',
      lengthM: expect.closeTo(24 * FOOT_M, 12) as number,
      slides: 0,
      belly: 'enclosed',
      skirting: 'none',
      bellySkin: 'bare',
      shelter: 'open',
      cupboardsOpen: false,
      hoseConnected: false,
      hoseHeated: false,
      waterHeater: 'off',
      tanklessProtected: false,
      elevationM: expect.closeTo(9055 * FOOT_M, 9) as number,
      thresholds: { blocked: { rigid: 0.2, flexible: 0.9 }, solid: 0.95 },
      heat: {
        setC: expect.closeTo(160 / 9, 12) as number,
        furnaceW: 6000,
        ductedShare: 0.05,
        running: true,
        shore: true,
        gas: {
          kg: expect.closeTo(20 * POUND_KG, 12) as number,
          cylinderKg: expect.closeTo(20 * POUND_KG, 12) as number,
          refilled: false,
        },
      },
      network: {
        insideCapacity: 2e6,
        underbellyCapacity: 320_000,
        underneathCapacity: 170_000,
        insideOutside: 175,
        insideUnderbelly: 17,
        underbellyUnderneath: 43,
        underneathOutside: 35,
        underneathGround: 0,
      },
      parts: {
        catalogue: false,
        add: [],
        without: [],
        lines: [],
        own: [
          {
            id: 'probe',
            label: null,
            zone: 'outside',
            circuit: 'cold',
            waterKg: 0.1143,
            conductanceWPerK: 0.5,
            wallHeatCapacityJPerK: 0,
            startTemperatureC: 10,
            body: 'rigid',
            blocked: 0.2,
            solid: 0.95,
            pocket: 'always',
          },
        ],
      },
    });
    expect(config.units[0]).toMatchObject({
      gasKg: expect.closeTo(20 * POUND_KG, 12) as number,
      waterSince: Date.UTC(2026, 9, 1) / 1000,
      water: { all: { state: { kind: 'wet' }, since: Date.UTC(2026, 9, 1) / 1000, by: null }, circuits: {} },
      work: { keepWarmMinutes: 20, drainMinutes: 45, winterizeMinutes: 90, travelMinutes: 40 },
    });
    expect(config.units[0]?.model.parts.map((part) => part.id)).toEqual(['probe']);
  });

  it('has everything else in base units, and its paths beside the file', () => {
    expect(config).toMatchObject({
      file: 'my.yaml',
      display: {
        temperature: 'F',
        length: 'ft',
        words: { faucet: 'faucet', trailer: 'trailer', gas: 'propane' },
      },
      weather: {
        horizonHours: 384,
        sources: [
          {
            id: 'meteo',
            kind: 'open-meteo',
            baseUrl: 'https://api.open-meteo.com',
            apiKeyEnv: 'OPEN_METEO_KEY',
            staleAfterHours: 12,
          },
          { id: 'series', kind: 'file', path: '/base/series.csv', staleAfterHours: null },
        ],
        errorModel: { kind: 'growing', atStartK: 1, perDayK: 0.3, members: 51 },
      },
      people: [
        {
          id: 'ann',
          timeZone: 'America/Denver',
          quiet: { fromMinute: 1320, toMinute: 420 },
          headsUpHours: 120,
          channels: ['email', 'file'],
        },
      ],
      delivery: {
        email: {
          host: '127.0.0.1',
          port: 2525,
          security: 'none',
          from: 'drainby@example.org',
          user: null,
          password: null,
        },
        file: { directory: '/base/sent' },
        console: false,
        leaseSeconds: 900,
      },
      policy: DEFAULT_POLICY,
      schedule: '17 * * * *',
      store: { path: '/base/drainby.db' },
      web: { listen: '127.0.0.1:8787', publicUrl: 'http://127.0.0.1:8787' },
    });
  });

  it('is frozen through and through', () => {
    expect(everythingIn(config).filter((value) => !Object.isFrozen(value))).toEqual([]);
  });

  it('knows what the file gave and what is default', () => {
    expect(config.given).toContain('policy.window');
    expect(config.given).toContain('places[0].timeZone');
    expect(config.given).not.toContain('policy.headsUpChance');
  });

  it('comes out the same each time', () => {
    expect(JSON.stringify(parse(FULL))).toBe(JSON.stringify(config));
  });
});

describe('a small config', () => {
  const config = parse(SMALL);

  it('asks one service, sixteen days ahead, with the stated error', () => {
    expect(config.weather).toEqual({
      horizonHours: 384,
      sources: [
        {
          id: 'open-meteo',
          kind: 'open-meteo',
          baseUrl: 'https://api.open-meteo.com',
          isPublic: true,
          nightBiasK: 1,
          apiKeyEnv: 'OPEN_METEO_KEY',
          staleAfterHours: 12,
          ensembles: ['ecmwf_ifs025_ensemble', 'ncep_gefs_seamless'],
          ensembleUrl: 'https://ensemble-api.open-meteo.com',
          archiveUrl: 'https://archive-api.open-meteo.com',
          previousRunsUrl: 'https://previous-runs-api.open-meteo.com',
          callsPerDay: null,
        },
      ],
      contact: null,
      compare: true,
      learn: true,
      errorModel: { kind: 'growing', atStartK: 1, perDayK: 0.3, members: 51 },
    });
    expect(config.places[0]?.sources).toEqual(['open-meteo']);
    expect(config.policy).toEqual(DEFAULT_POLICY);
  });

  it('takes the time zone of the coordinates, for the place and for who has a unit there', () => {
    // IANA tzdata, zone1970.tab: the Mountain time of Colorado is America/Denver.
    expect(config.places[0]?.timeZone).toBe('America/Denver');
    expect(config.people[0]?.timeZone).toBe('America/Denver');
  });

  it('takes what is not said of a unit on the cautious side', () => {
    const { spec, water, work, waterSince, gasKg } = config.units[0]!;
    expect(spec).toMatchObject({
      lengthM: null,
      belly: 'open',
      skirting: 'none',
      heat: null,
      hoseConnected: false,
    });
    expect(water).toEqual({ all: { state: { kind: 'unknown' }, since: null, by: null }, circuits: {} });
    expect([waterSince, gasKg]).toEqual([null, null]);
    // From the parts, and longer in the cold: the sums are held in tests/model.
    expect(work.travelMinutes).toBe(0);
    expect(work.slowedByCold).toEqual(['keep-warm', 'drain-part', 'drain', 'winterize']);
    expect(work.drainMinutes).toBeGreaterThan(0);
  });

  it('sends by STARTTLS, by the only way that there is', () => {
    expect(config.delivery.email).toMatchObject({ port: 587, security: 'starttls' });
    expect(config.people[0]?.channels).toEqual(['email']);
  });

  it('tells a person without an address by the ways that need none', () => {
    const text = SMALL.replace('    email: ann@example.org\n', '').replace(
      'delivery:',
      'delivery:\n  console: true\n  file: { directory: out }',
    );
    expect(parse(text).people[0]?.channels).toEqual(['file', 'console']);
  });

  it('takes the password from the environment or a file beside it', () => {
    const email = (line: string) => parse(`${SMALL}    user: me\n    ${line}\n`).delivery.email?.password;
    expect(email('passwordEnv: SMTP_PASSWORD')).toEqual({ env: 'SMTP_PASSWORD' });
    expect(email('passwordFile: ./secret')).toEqual({ file: '/base/secret' });
  });
});

describe('the water of a unit', () => {
  it.each([
    ['{ state: in-use }', { kind: 'wet' }],
    ['{ state: unknown }', { kind: 'unknown' }],
    ['{ state: drained }', { kind: 'drained', quality: 'quick' }],
    ['{ state: drained, quality: well }', { kind: 'drained', quality: 'well' }],
    ['{ state: winterized, method: air }', { kind: 'blown' }],
    ['{ state: winterized, method: antifreeze }', { kind: 'antifreeze' }],
    [
      '{ state: winterized, method: antifreeze, concentration: 40 }',
      { kind: 'antifreeze', concentrationPercent: 40 },
    ],
  ])('written as %s is taken as such', (text, state) => {
    expect(unit(`    water: ${text}`).water.all.state).toEqual(state);
  });

  it('says of the traps by one word that antifreeze was poured into them', () => {
    const water = (traps: string) =>
      unit(`    water: { state: winterized, method: air${traps} }`).water.circuits;
    const filled = { state: { kind: 'antifreeze' }, since: null, by: null };
    expect(water(', traps: true')).toEqual({
      'trap-kitchen': filled,
      'trap-bath': filled,
      'trap-shower': filled,
    });
    expect(water(', traps: false')).toEqual({});
    expect(water('')).toEqual({});
    expect(water(', traps: true, circuits: { trap-bath: { state: in-use } }')).toMatchObject({
      'trap-bath': { state: { kind: 'wet' } },
      'trap-kitchen': filled,
    });
  });

  it('may differ by circuit, each as long as the rest unless it says so', () => {
    const since = '"2026-10-01T00:00:00Z"';
    const { water } = unit(
      `    water: { state: winterized, method: air, since: ${since}, circuits: { flush: { state: in-use }, hot: { state: drained, since: "2026-10-02T00:00:00+02:00" } } }`,
    );
    expect(water.circuits).toEqual({
      flush: { state: { kind: 'wet' }, since: Date.UTC(2026, 9, 1) / 1000, by: null },
      hot: { state: { kind: 'drained', quality: 'quick' }, since: Date.UTC(2026, 9, 1, 22) / 1000, by: null },
    });
  });
});

describe('the hose of a unit', () => {
  it('is connected where somebody lives, unless the file says otherwise', () => {
    expect(unit('    attended: true').spec.hoseConnected).toBe(true);
    expect(unit('    attended: true\n    hose: none').spec.hoseConnected).toBe(false);
    expect(unit('    hose: connected').spec.hoseConnected).toBe(true);
  });
});

describe('the pocket of an own part', () => {
  it.each([
    ['true', 'always'],
    ['false', 'never'],
    ['quick', 'quick'],
  ])('written as %s is %s', (text, pocket) => {
    const own = `{ id: p, zone: outside, circuit: cold, water: 1 kg, conductance: 1 W/K, pocket: ${text} }`;
    expect(unit(`    parts: { own: [${own}] }`).spec.parts.own[0]?.pocket).toBe(pocket);
  });
});
