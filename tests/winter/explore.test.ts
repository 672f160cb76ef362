import { writeFileSync } from 'node:fs';
import { it } from 'vitest';
import { assessorOf } from '../../src/app/risk-question.ts';
import { asItStands } from '../../src/decision/options.ts';
import type { PlaceConfig } from '../../src/config/config.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { Coldest, forecastAt } from './forecasts.ts';
import { lotOf, trueDamage, wetSince } from './lot.ts';
import { newYork, seoul, type Winter } from './series.ts';

const HOUR = 3600;
const SEEDS = (process.env['S'] ?? '1').split(',').map(Number);
const MEMBERS = (process.env['M'] ?? '51').split(',').map(Number);

it('chances', { timeout: 0 }, () => {
  const which = (process.env['W'] ?? 'ny,seoul').split(',');
  for (const seed of SEEDS)
    for (const members of MEMBERS)
      for (const winter of [newYork(), seoul()].filter((_, i) => which.includes(i === 0 ? 'ny' : 'seoul')))
        run(winter, members, seed);
});

function run(winter: Winter, members: number, seed: number): void {
  const t0 = performance.now();
  const config = lotOf({ winter, accepted: 0.05, members });
  const spot = config.places[0] as PlaceConfig;
  const last = winter.firstHour + (winter.temperatureC.length - 8 * 24) * HOUR;
  const rows: unknown[] = [];
  const coldest = new Coldest(members);
  const first = new Map<string, number>();
  for (let now = winter.firstHour + 96 * HOUR; now < last; now += 6 * HOUR) {
    const forecast = forecastAt(winter, now, seed);
    const temps = forecast.members[0]!.temperatureC;
    const low = Math.min(...temps.slice(72, 145));
    const row: { now: number; low: number; p: number[][]; w: number[][]; t: (number | null)[] } = {
      now,
      low,
      p: [[], [], [], []],
      w: [[], [], [], []],
      t: [null, null, null, null],
    };
    if (coldest.of(forecast) <= 0) {
      const outlook = outlookOf({
        forecast,
        now,
        horizonHours: 74,
        spot,
        errorLaw: { atStartK: 1, perDayK: 0.3, members },
      });
      config.units.forEach((unit, u) => {
        const assessor = assessorOf({ config, unit, outlook, water: wetSince(now), now });
        const stands = { ...asItStands(unit.model, wetSince(now), now), until: now + 72 * HOUR };
        const [a] = assessor.assess([stands]);
        const f = (r: typeof a): number[] =>
          [...r!.firstAt]
            .map((x) => (x - now) / HOUR)
            .filter((x) => x <= 72)
            .toSorted((x, y) => x - y)
            .map((x) => Math.round(x * 10) / 10);
        row.p[u] = f(a);
        row.w[u] = row.p[u]!;
        const k = `${unit.id} ${unit.model.parts[a!.firstPart[0]!]?.id ?? '-'}`;
        first.set(k, (first.get(k) ?? 0) + 1);
        row.t[u] = trueDamage(
          { config, unit, winter, water: wetSince(now) },
          { from: now, to: now + 72 * HOUR },
        );
      });
    }
    rows.push(row);
    if (rows.length % 60 === 0)
      writeFileSync(
        `/tmp/w/winter-tmp/q-${winter.name.slice(0, 2)}-${members}-${seed}.json`,
        JSON.stringify(rows),
      );
  }
  writeFileSync(
    `/tmp/w/winter-tmp/q-${winter.name.slice(0, 2)}-${members}-${seed}.json`,
    JSON.stringify(rows),
  );
  process.stdout.write(
    `${winter.name} ${members} ${seed} ${((performance.now() - t0) / 1000).toFixed(1)} s ${JSON.stringify([...first])}\n`,
  );
}
