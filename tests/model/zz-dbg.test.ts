import { it } from 'vitest';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, runPart, zoneAtHours, furnaceByHour } from '../../src/model/trace.ts';
import { Random } from '../support/random.ts';
import { randomPlan, randomUnit, randomWeather, someParts } from '../support/random-unit.ts';
it('d', () => {
  const random = new Random(20_261_125 + Number(process.env.S));
  const unit = randomUnit(random);
  const w = randomWeather(random, 240);
  const plan = randomPlan(random, 240);
  const member = { weight: 1, temperatureC: w.temperatureC, groundC: w.groundC, windSpeedMps: w.windMps };
  const t = new Trace(unit).solve(hourlyAir(unit, 0, member), plan);
  console.log(JSON.stringify(unit.network.nodes), JSON.stringify(unit.network.paths), JSON.stringify(unit.heat), unit.windReaching);
  console.log(JSON.stringify(plan), w.temperatureC.slice(0, 5), w.groundC.slice(0,3));
  for (const z of ['inside', 'underbelly', 'underneath', 'outside'] as const) console.log(z, zoneAtHours(t, z).slice(0, 5));
  console.log(furnaceByHour(t).slice(0, 5));
  for (let i = 0; i < 6; i++) console.log(t.track.startS[i], t.track.durationS[i], t.track.furnaceJ[i], t.track.systems[i]!.cappedRow, t.track.supply[i]);
});
