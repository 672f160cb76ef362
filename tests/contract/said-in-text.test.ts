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
