/** What `check` and `explain` say in words beside their tables: what was taken for granted, and what may be broken. */
import { describe, expect, it } from 'vitest';
import { runCli } from '../../src/cli/cli.ts';
import type { Config } from '../../src/config/config.ts';
import { iso, seconds } from '../support/instants.ts';
import {
  CREEK,
  checkAt,
  configOf,
  csvOf,
  explainAt,
  jsonOf,
  probeUnit,
  scenario,
} from '../support/scenario.ts';

const NOW = '2026-12-10T19:00:00Z';

function seriesFrom(pastHours: number, air: (hour: number) => number | null): string {
  const temperatureC = Array.from({ length: pastHours + 100 }, (_, i) => air(i - pastHours));
  return csvOf({ start: iso(seconds(NOW) - pastHours * 3600), temperatureC });
}

function configWith(csv: string, unit: object = probeUnit()): Config {
  return scenario(configOf({ units: [unit] }), { 'series.csv': csv });
}

async function text(config: Config, ...args: string[]): Promise<string> {
  let said = '';
  const write = (more: string): void => void (said += more);
  await runCli([...args, '-c', config.file, '--now', NOW], {
    env: {},
    write,
    complain: write,
    now: () => seconds(NOW),
  });
  for (const line of said.split('\n')) expect(Array.from(line).length, line).toBeLessThanOrEqual(80);
  return said.replace(/[│\s]+/g, ' ');
}

describe('what a file leaves out', () => {
  const LEFT_OUT = [
    'Single missing hours were interpolated.',
    'Where the forecast gives no wind, 4 m/s is taken.',
    'Where the forecast gives no cloud, a clear sky is taken.',
    'Where the forecast gives no soil temperature, the ground is taken as freezing',
  ];

  it('is listed in the text of check and of explain as in their JSON', async () => {
    const config = configWith(seriesFrom(72, (hour) => (hour === 5 ? null : 3)));
    const [unit] = (await checkAt(config, NOW)).units;
    const { assumptions } = await explainAt(config, 'blue', NOW);
    const [checked, explained] = [await text(config, 'check'), await text(config, 'explain', 'blue')];
    for (const sentence of LEFT_OUT) {
      expect(checked).toContain(sentence);
      expect(explained).toContain(`- ${sentence}`);
      expect(unit?.assumptions.join(' ')).toContain(sentence);
      expect(assumptions.join(' ')).toContain(sentence);
    }
    expect(checked).not.toContain('of the past is known');
  });

  it('names hours that have passed, too', async () => {
    const config = configWith(seriesFrom(0, () => 3));
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit?.assumptions.join(' ')).toContain('Less than 72 h of the past is known: whether it froze');
    expect(await text(config, 'check')).toContain('Less than 72 h of the past is known');
    expect(await text(config, 'explain', 'blue')).toContain('- Less than 72 h of the past is known');
  });

  it('is said of the places that it holds for', async () => {
    const source = (id: string): object => ({ id, kind: 'file', path: `./${id}.csv` });
    const place = (id: string): object => ({
      ...CREEK,
      id,
      sources: [id],
    });
    const around = {
      units: [probeUnit({ place: 'near' }), probeUnit({ id: 'red', place: 'far' })],
      places: [place('near'), place('far')],
      sources: [source('near'), source('far')],
    };
    const files = { 'near.csv': seriesFrom(72, () => 3), 'far.csv': seriesFrom(10, () => 3) };
    const said = await text(scenario(configOf(around), files), 'check');
    expect(said).toContain('far: Less than 72 h');
    expect(said).toMatch(/[^:] Where the forecast gives no wind/);
    expect(said.match(/gives no wind/g)).toHaveLength(1);
  });
});

it('members that are alike count as one in the cell as in the reason', async () => {
  const course = (valueC: number) => ({
    weight: 1,
    temperatureC: Array.from({ length: 172 }, () => valueC),
    windSpeedMps: Array.from({ length: 172 }, () => 2),
  });
  const members = [course(3), course(3), course(4), course(4)];
  const series = jsonOf(iso(seconds(NOW) - 72 * 3600), members);
  const config = scenario(configOf({ units: [probeUnit()], series: 'series.json' }), {
    'series.json': series,
  });
  expect((await checkAt(config, NOW)).places[0]?.forecast).toMatchObject({ members: 4, resolution: 0.5 });
  const said = await text(config, 'check');
  expect(said).toContain('— under 50 %');
  expect(said).toContain('Under 50 % chance of damage');
});

describe('a unit that has frozen before now', () => {
  const frozen = (hour: number): number => (hour > -20 && hour < -6 ? -15 : 6);

  it('is to be checked first, and its chance is that of more damage', async () => {
    const config = configWith(seriesFrom(72, frozen));
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit).toMatchObject({ suspect: true, advice: { action: 'nothing' } });
    const said = await text(config, 'check');
    expect(said).toMatch(/blue \(may have check it first — of more damage: /);
    expect(said).toContain('By this single forecast there is no more damage within 72 h as it stands.');
  });

  it('with ice in it still is to be thawed first', async () => {
    const said = await text(configWith(seriesFrom(72, (hour) => (hour > -20 ? -15 : 6))), 'check');
    expect(said).toMatch(/thaw it and — of more damage: frozen\) check it first /);
  });

  it('and one that has not is to be left as it is', async () => {
    const said = await text(configWith(seriesFrom(72, () => 6)), 'check');
    expect(said).toMatch(/blue nothing — none in this/);
    expect(said).not.toContain('more damage');
  });
});

describe('what a user did or was told of', () => {
  const shut = (water: object): Config =>
    scenario(
      configOf({
        places: [{ ...CREEK, water: { shutsOn: '2026-12-12', at: '08:00', ...water } }],
        units: [
          probeUnit({ attended: true, waterUse: { perDay: '12 gal', onBoard: '36 gal', tank: '40 gal' } }),
        ],
      }),
      { 'series.csv': seriesFrom(72, () => 8) },
    );

  it('the end of the place’s water is in the table of check, with what to do before', async () => {
    const words = await text(shut({ dumpClosesOn: '2026-12-12' }), 'check');
    expect(words).toMatch(
      /The water of the place is shut Sat 08:00: fill the fresh tank, start by Fri \d\d:\d\d\./,
    );
    expect(words).toMatch(/Its dump is closed Sat 08:00: dump the tanks, start by Fri \d\d:\d\d\./);
    expect(await text(shut({ shutsOn: '2027-01-12' }), 'check')).not.toContain('The water of the place');
  });

  it('that somebody keeps it warm is in check, explain, their JSON and the message', async () => {
    const heat = { set: '18 °C', furnace: '6 kW' };
    const unit = probeUnit({
      heat,
      attended: true,
      water: { state: 'in-use', since: '2026-12-01T00:00:00Z' },
    });
    const config = configWith(
      seriesFrom(72, (hour) => (hour > 10 ? -9 : 6)),
      unit,
    );
    expect((await checkAt(config, NOW)).units[0]).not.toHaveProperty('keptWarmSince');
    expect(await text(config, 'check')).not.toContain('kept warm');
    const say = (at: string) =>
      runCli(['mark', 'blue', 'kept-warm', '-c', config.file, '--now', at], {
        env: {},
        write: () => undefined,
        complain: () => undefined,
        now: () => seconds(at),
      });
    expect(await say('2026-12-10T18:00:00Z')).toBe(0);
    expect((await checkAt(config, NOW)).units[0]).toMatchObject({ keptWarmSince: '2026-12-10T18:00:00Z' });
    expect(await text(config, 'check')).toContain('In use, kept warm since Thu 11:00.');
    expect(await text(config, 'explain', 'blue')).toContain(
      'as it stands: in use, kept warm since Thu 11:00',
    );
    expect(await explainAt(config, 'blue', NOW)).toMatchObject({ keptWarmSince: '2026-12-10T18:00:00Z' });
  });

  it('the hours that explain shows reach the first damage, also where that is more than three days ahead', async () => {
    const air = (hour: number): number => (hour > 90 && hour < 99 ? -9 : 6);
    const series = csvOf({
      start: iso(seconds(NOW) - 72 * 3600),
      temperatureC: Array.from({ length: 300 }, (_, i) => air(i - 72)),
    });
    const words = await text(configWith(series), 'explain', 'blue');
    expect(words).toMatch(/The coldest stretch of the next days.* 16 °F/);
  });
});
