/** `drainby readings`: what a person says, imports and lists, through the command line to a real database. */
import { existsSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { runCli } from '../../src/cli/cli.ts';
import type { Config } from '../../src/config/config.ts';
import { EXIT } from '../../src/errors.ts';
import { openReader } from '../../src/store/reader.ts';
import type { Reading } from '../../src/weather/reading.ts';
import { seconds } from '../support/instants.ts';
import { CREEK, configOf, probeUnit, scenario } from '../support/scenario.ts';

const NOW = seconds('2026-11-25T08:30:00Z');
const SERIES = { 'series.csv': 'time,temperatureC\n2026-11-25T08:00:00Z,1\n' };

function lot(display: object = {}): Config {
  const places = [{ ...CREEK, label: 'Creek row' }];
  const belly = { belly: 'enclosed', parts: { catalogue: true } };
  const units = [probeUnit(), probeUnit({ id: 'red', label: 'Red trailer', ...belly })];
  return scenario({ ...configOf({ places, units }), display }, SERIES);
}

async function readings(config: Config, ...args: readonly string[]) {
  let out = '';
  let err = '';
  const io = {
    env: {},
    write: (text: string) => void (out += text),
    complain: (text: string) => void (err += text),
    now: () => NOW,
  };
  const exit = await runCli(['readings', ...args, '-c', config.file], io);
  return { exit, out, err };
}

async function kept(config: Config): Promise<readonly Reading[]> {
  const reader = await openReader(config.store.path);
  if (reader === null) return [];
  try {
    return await reader.readReadings('creek', 0);
  } finally {
    await reader.close();
  }
}

const OUTSIDE = { place: 'creek', unit: null, zone: 'outside', at: NOW, origin: 'said' };

describe('saying a temperature', () => {
  it.each([
    [['-3.5C'], -3.5, '25.7 °F'],
    [['−3.5C'], -3.5, '25.7 °F'],
    [['-3.5', '°C'], -3.5, '25.7 °F'],
    [['25F'], -35 / 9, '25 °F'],
    [['25 °F'], -35 / 9, '25 °F'],
    [['32F'], 0, '32 °F'],
    [['-40C'], -40, '−40 °F'],
  ])(
    'as %j keeps it and says so in the display’s unit and local time',
    async (value, temperatureC, shown) => {
      const config = lot();
      const { exit, out, err } = await readings(config, 'creek', ...value);
      expect([exit, err]).toEqual([EXIT.ok, '']);
      // 08:30 UTC is 01:30 in Denver in winter (UTC−7, IANA time-zone database).
      expect(out).toBe(`Creek row, outside: ${shown} at Wed 25 Nov, 01:30 MST is kept.\n`);
      const [reading, ...more] = await kept(config);
      expect([{ ...reading, temperatureC: null }, more]).toEqual([{ ...OUTSIDE, temperatureC: null }, []]);
      expect(reading?.temperatureC).toBeCloseTo(temperatureC, 10);
    },
  );

  it('of a zone of a unit, some time ago, shown in Celsius', async () => {
    const config = lot({ temperature: 'C' });
    const args = ['red', '--zone', 'underbelly', '41F', '--at', '2026-11-25T07:00:00Z'];
    const { out } = await readings(config, ...args);
    expect(out).toBe('Red trailer, underbelly: 5 °C at Wed 25 Nov, 00:00 MST is kept.\n');
    const [reading] = await kept(config);
    expect(reading).toMatchObject({ place: 'creek', unit: 'red', zone: 'underbelly', at: NOW - 5400 });
  });

  it('of a unit without its zone is taken as outside, and the line says so', async () => {
    const config = lot();
    const { out } = await readings(config, 'blue', '25F');
    expect(out).toBe('blue, taken as outside: 25 °F at Wed 25 Nov, 01:30 MST is kept.\n');
    expect(await kept(config)).toMatchObject([{ unit: 'blue', zone: 'outside' }]);
  });

  it('twice changes nothing, and another value takes its place', async () => {
    const config = lot();
    await readings(config, 'creek', '25F');
    expect((await readings(config, 'creek', '25F')).out).toContain('was known already');
    expect((await readings(config, 'creek', '26F')).out).toContain('is kept in place of another value');
    expect(await kept(config)).toHaveLength(1);
  });

  it.each([
    [['creek'], /Give a temperature such as -3\.5C or 25F/],
    [['creek', '25'], /"25" has no unit.*Write 25F or 25C/],
    [['creek', '-3.5'], /"-3\.5" has no unit.*Write -3\.5F or -3\.5C/],
    [['creek', '25K'], /written in °C or °F/],
    [['creek', 'cold'], /cannot be read/],
    [['creek', '-300C'], /no temperature is below/],
    [['creek', '-127C'], /−127 °C cannot be: it must lie between −60 and 60 °C/],
    [['creek', '85C'], /85 °C cannot be/],
    [['creek', '25F', '--at', '2026-11-25T08:41:00Z'], /2026-11-25T08:41:00Z lies in the future/],
    [['creek', '25F', '--at', '2025-10-01T00:00:00Z'], /more than 400 days ago/],
    [['creek', '--zone', 'inside', '60F'], /Place creek has no zone "inside"/],
    [['blue', '--zone', 'underbelly', '60F'], /Unit blue has no zone "underbelly"\. Its zones are: outside/],
    [['red', '--zone', 'attic', '60F'], /Its zones are: outside, .*underbelly, .*inside/],
    [['lake', '25F'], /no place or unit "lake".*places are: creek; its units: blue, red/],
    [['place:blue', '25F'], /no place or unit "place:blue"/],
    [['creek', '25F', '--zonee', 'inside'], /There is no option --zonee/],
    [['--bad', 'creek', '25F'], /There is no option --bad/],
    [['creek', '25F', '--list'], /one of them/],
    [['creek', '25F', '--json'], /--json goes with --list only/],
    [['creek', '25F', '--skip-bad'], /--skip-bad goes with --import only/],
    [['creek', '--list', '--at', '2026-11-25T08:00:00Z'], /--at goes with a temperature only/],
    [['blue', '--list', '--zone', 'inside'], /--zone goes with/],
  ])('as %j is refused, and nothing is kept', async (args, words) => {
    const config = lot();
    const { exit, out, err } = await readings(config, ...args);
    expect([exit, out]).toEqual([EXIT.usage, '']);
    expect(err).toMatch(words);
    expect(existsSync(config.store.path)).toBe(false);
  });

  it('names every mistake at once', async () => {
    const { err } = await readings(lot(), 'red', '200F', '--zone', 'attic', '--at', '2027-01-01T00:00:00Z');
    expect(err.trim().split('\n')).toHaveLength(3);
  });

  it('of an id that a place and a unit have is refused until it is told which', async () => {
    const units = [probeUnit({ id: 'creek', label: 'The trailer' })];
    const config = scenario(configOf({ places: [{ ...CREEK, label: 'The row' }], units }), SERIES);
    const { exit, err } = await readings(config, 'creek', '25F');
    expect([exit, err]).toEqual([
      EXIT.usage,
      'Both a place and a unit are called "creek". Say place:creek or unit:creek.\n',
    ]);
    expect((await readings(config, 'place:creek', '25F')).out).toMatch(/^The row, outside/);
    expect((await readings(config, 'unit:creek', '-5C')).out).toMatch(/^The trailer, taken as outside/);
    expect((await kept(config)).map(({ unit }) => unit)).toEqual([null, 'creek']);
  });
});

describe('importing a file', () => {
  const GOOD = [
    'time,temperatureF,zone',
    '2026-11-25T06:00:00Z,32,',
    '2026-11-25T07:00:00Z,,',
    '2026-11-25T07:00:00Z,50,inside',
  ].join('\n');
  const BAD = [
    'time,temperatureC',
    '2026-11-25T06:00:00Z,-1',
    '2026-11-25 07:00,-1',
    '2026-11-25T07:00:00Z,-127',
    '2026-11-25T08:00:00Z,-2',
    '2026-12-25T08:00:00Z,-2',
  ].join('\n');

  function file(config: Config, text: string): string {
    const path = join(dirname(config.file), 'log.csv');
    writeFileSync(path, text);
    return path;
  }

  it('takes every line with its own zone, and says how many', async () => {
    const config = lot();
    const path = file(config, GOOD);
    const { exit, out } = await readings(config, 'red', '--import', path);
    expect([exit, out]).toEqual([
      EXIT.ok,
      `Red trailer: readings from ${path}: 2 new, 1 without a temperature.\n`,
    ]);
    expect(
      (await kept(config)).map(({ zone, temperatureC, origin }) => [zone, temperatureC, origin]),
    ).toEqual([
      ['outside', 0, 'file'],
      ['inside', 10, 'file'],
    ]);
    expect((await readings(config, 'red', '--import', path)).out).toContain('0 new, 2 known already');
  });

  it('takes --zone where the line has none', async () => {
    const config = lot();
    await readings(config, 'red', '--zone', 'bay', '--import', file(config, GOOD));
    expect((await kept(config)).map(({ zone }) => zone)).toEqual(['bay', 'inside']);
  });

  it('takes nothing when a line is bad, and says each with its number', async () => {
    const config = lot();
    const path = file(config, BAD);
    const { exit, out, err } = await readings(config, 'creek', '--import', path);
    expect([exit, out]).toEqual([EXIT.usage, '']);
    const lines = err.trim().split('\n');
    expect(lines.slice(0, 3).map((line) => line.replace(`${path}:`, '').slice(0, 3))).toEqual([
      '3: ',
      '4: ',
      '6: ',
    ]);
    expect(lines.slice(3)).toEqual([
      '3 lines cannot be taken, so nothing was imported.',
      'Correct them, or take the rest with --skip-bad.',
    ]);
    expect(existsSync(config.store.path)).toBe(false);
  });

  it('takes the good lines when it may skip the bad, and says which were left out', async () => {
    const config = lot();
    const path = file(config, BAD);
    const { exit, out } = await readings(config, 'creek', '--import', path, '--skip-bad');
    expect(exit).toBe(EXIT.ok);
    expect(out).toContain(': 2 new.\nLeft out: 3.\n');
    expect(out.split('\n').filter((line) => line.startsWith(`${path}:`))).toHaveLength(3);
    expect((await kept(config)).map(({ temperatureC }) => temperatureC)).toEqual([-1, -2]);
  });

  it.each([
    ['time,temp\n2026-11-25T06:00:00Z,1', /:1: the header may name/],
    ['time,temperatureC\n2026-11-25T06:00,1', /holds no reading to import/],
    ['time,temperatureC\n', /holds no reading to import/],
  ])('that reads %j takes nothing even when it may skip', async (text, words) => {
    const config = lot();
    const { exit, err } = await readings(config, 'creek', '--import', file(config, text), '--skip-bad');
    expect(exit).toBe(EXIT.usage);
    expect(err).toMatch(words);
    expect(existsSync(config.store.path)).toBe(false);
  });

  it('that is not there is said', async () => {
    const { exit, err } = await readings(lot(), 'creek', '--import', './no-such.csv');
    expect(exit).toBe(EXIT.usage);
    expect(err).toMatch(/The file \.\/no-such\.csv cannot be read: .*ENOENT/);
  });
});

describe('listing', () => {
  it('finds nothing and creates nothing where there is no database', async () => {
    const config = lot();
    expect((await readings(config, 'creek', '--list')).out).toBe('Creek row: no readings yet.\n');
    expect(existsSync(config.store.path)).toBe(false);
  });

  it('shows a place with its units, and a unit alone, within 80 columns', async () => {
    const config = lot();
    await readings(config, 'creek', '-3.5C', '--at', '2026-11-25T06:00:00Z');
    await readings(config, 'red', '--zone', 'underbelly', '60F');
    expect((await readings(config, 'creek', '--list')).out.split('\n')).toEqual([
      'Creek row, the last 2:',
      'Tue 24 Nov, 23:00 MST  outside         25.7 °F  said',
      'Wed 25 Nov, 01:30 MST  red underbelly    60 °F  said',
      '',
    ]);
    const { out } = await readings(config, 'red', '--list', '--json');
    expect(JSON.parse(out)).toEqual({
      schema: 'drainby.readings/1',
      place: 'creek',
      unit: 'red',
      readings: [
        {
          unit: 'red',
          zone: 'underbelly',
          at: '2026-11-25T08:30:00Z',
          // 60 °F are 15.56 °C: (60 − 32) / 1.8.
          temperatureC: 15.56,
          origin: 'said',
        },
      ],
    });
  });
});
