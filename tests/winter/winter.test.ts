import { expect, it } from 'vitest';
import { countOf, NONE, sum, type Count } from './count.ts';
import { newYork, seoul } from './series.ts';
import { followRule, watchWinter } from './watch.ts';

const SEEDS = Number(process.env['DRAINBY_WINTERS'] ?? 1);
const TOLERANCES = (process.env['DRAINBY_TOLERANCES'] ?? '0.05').split(',').map(Number);
/** 28, 25 and 20 °F. */
const RULES_C = [-20 / 9, -35 / 9, -60 / 9];

function said(name: string, { missed, told, trueAlarms, falseAlarms, mostADay }: Count): string {
  const ratio = trueAlarms === 0 ? 'none true' : `${(falseAlarms / trueAlarms).toFixed(2)} per true one`;
  return `${name}: ${missed} missed, ${told} in spite of a call; ${trueAlarms} true calls, ${falseAlarms} false (${ratio}); at most ${mostADay} a day`;
}

it('winters', { timeout: 0 }, async () => {
  for (const winter of [newYork(), seoul()]) {
    const seeds = Array.from({ length: SEEDS }, (_, i) => i + 1);
    for (const tolerance of TOLERANCES) {
      let total = NONE;
      for (const seed of seeds) {
        const t0 = performance.now();
        const season = await watchWinter({ winter, seed, tolerance });
        const c = countOf(season, winter);
        total = sum(total, c);
        process.stdout.write(`${said(`  seed ${seed}`, c)} ${(performance.now() - t0).toFixed(0)} ms\n`);
        if (process.env['V']) {
          for (const d of season.damages)
            process.stdout.write(
              `    damage ${d.unit} ${new Date(d.at * 1000).toISOString()} told ${d.toldAt === null ? 'never' : new Date(d.toldAt * 1000).toISOString()}\n`,
            );
          for (const a of season.alarms)
            process.stdout.write(`    alarm ${a.unit} ${new Date(a.at * 1000).toISOString()} ${a.what}\n`);
        }
      }
      process.stdout.write(`${said(`${winter.name} tolerance ${tolerance}`, total)}\n`);
    }
    for (const atC of RULES_C) {
      let total = NONE;
      for (const seed of seeds) total = sum(total, countOf(await followRule({ winter, seed, atC }), winter));
      process.stdout.write(`${said(`${winter.name} rule ${(atC * 1.8 + 32).toFixed(0)} °F`, total)}\n`);
    }
  }
  expect(SEEDS).toBeGreaterThan(0);
});
