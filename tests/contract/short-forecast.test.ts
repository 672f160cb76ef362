/** A forecast that ends before the window does: it may call for more, and calls nothing over. */
import { expect, it } from 'vitest';
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Config } from '../../src/config/config.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-11-10T12:00:00Z';
const at = (hours: number): string => iso(seconds(NOW) + hours * 3600);
const DAY_OF_COLD = (ahead: number): number => (ahead >= 30 && ahead < 42 ? -8 : 6);

/** From three days before `hour` to `known` hours after it. */
function series(hour: number, known: number, air: (ahead: number) => number): string {
  const temperatureC = Array.from({ length: 72 + known + 1 }, (_, i) => air(i - 72));
  return csvOf({ start: at(hour - 72), temperatureC });
}

function lot(text: string): Config {
  return scenario(configOf({ units: [probeUnit()] }), { 'series.csv': text });
}

function rewrite(config: Config, text: string): void {
  writeFileSync(join(dirname(config.file), 'series.csv'), text);
}

const kindsOf = (round: Awaited<ReturnType<typeof roundAt>>): string[] => round.messages.map((m) => m.kind);

it('speaks of the hours that it covers, not of the window', async () => {
  const answer = await checkAt(lot(series(0, 27, () => 6)), NOW);
  const [unit] = answer.units;
  expect(unit?.advice?.action).toBe('nothing');
  expect(unit?.advice?.reason).toContain('within 27 h');
  expect(unit?.advice?.reason).not.toContain('72 h');
  expect(unit?.assumptions.join(' ')).toContain('what comes after is unknown');
});

it('relaxes nothing and gives no all-clear, until one reaches to the end of the window', async () => {
  const config = lot(series(0, 120, DAY_OF_COLD));
  expect(kindsOf(await roundAt(config, at(0)))).toEqual(['act']);
  for (const hour of [24, 31, 38, 45]) {
    rewrite(
      config,
      series(hour, 27, () => 6 + hour / 100),
    );
    const round = await roundAt(config, at(hour));
    expect(kindsOf(round)).not.toContain('all-clear');
    expect(round.evaluation.units[0]?.assessment?.advice).toMatchObject({ reasonCode: 'held' });
  }
  const told: string[] = [];
  for (const hour of [48, 55]) {
    rewrite(
      config,
      series(hour, 80, () => 6 + hour / 100),
    );
    told.push(...kindsOf(await roundAt(config, at(hour))));
  }
  expect(told).toContain('all-clear');
});
