/**
 * The model against an independent solver on units, weather and plans made up at random: every zone, some parts,
 * the furnace's heat and when the battery is flat.
 */
import { describe, expect, it } from 'vitest';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, furnaceByHour, runPart, zoneAtHours } from '../../src/model/trace.ts';
import { ZONES } from '../../src/model/unit.ts';
import { Random } from '../support/random.ts';
import { randomPlan, randomUnit, randomWeather, someParts } from '../support/random-unit.ts';
import { UnitReference } from '../support/unit-reference.ts';

const HOURS = 240;
const SCENARIOS = Number(process.env["MANY"] ?? 30);

function compare(seed: number): void {
  const random = new Random(seed);
  const unit = randomUnit(random);
  const { temperatureC, groundC, windMps } = randomWeather(random, HOURS);
  const plan = randomPlan(random, HOURS);
  const parts = someParts(random, unit);
  const member = { weight: 1, temperatureC, groundC, windSpeedMps: windMps };
  const trace = new Trace(unit).solve(hourlyAir(unit, 0, member), plan);
  const zones = new Map(ZONES.map((zone) => [zone, zoneAtHours(trace, zone)]));
  const runs = parts.map((part) => runPart(trace, { part, wetSince: null }));
  const furnace = furnaceByHour(trace);
  const reaching = unit.windReaching ?? 1;
  const reference = new UnitReference({
    unit,
    temperatureC: [...temperatureC],
    groundC: [...groundC],
    windMps: Array.from({ length: HOURS }, (_, i) => (reaching * (windMps[i]! + windMps[i + 1]!)) / 2),
    plan,
    parts,
  });
  reference.start(unit.network.nodes.map(({ id }) => zones.get(id)![0]!));
  let before = reference.point();
  for (let hour = 0; hour <= HOURS; hour++) {
    const theirs = hour === 0 ? before : reference.advance();
    for (const zone of ZONES) {
      const away = Math.abs(zones.get(zone)![hour]! - theirs.zonesC[zone]!);
      expect(away, `${zone}, hour ${hour}`).toBeLessThan(1e-6);
    }
    theirs.parts.forEach(({ temperatureC: warm, iceFraction }, i) => {
      const where = `${parts[i]!.id}, hour ${hour}`;
      expect(Math.abs(runs[i]!.temperatureC[hour]! - warm), where).toBeLessThan(1e-6);
      expect(Math.abs(runs[i]!.iceFraction[hour]! - iceFraction), where).toBeLessThan(1e-6);
    });
    if (hour > 0) {
      const meanW = (theirs.furnaceJ - before.furnaceJ) / 3600;
      expect(Math.abs(furnace[hour - 1]! - meanW), `furnace, hour ${hour}`).toBeLessThan(0.01);
    }
    before = theirs;
  }
  if (reference.batteryOutS === Infinity) expect(trace.track.batteryOutS).toBe(Infinity);
  else expect(Math.abs(trace.track.batteryOutS - reference.batteryOutS)).toBeLessThan(1e-3);
}

describe('ten days of a random unit in random weather, against an independent solver', () => {
  for (let i = 0; i < SCENARIOS; i++) {
    it(`scenario ${i}: zones and parts agree to 1e-6 K and 1e-6 ice`, () => compare(Number(process.env["SEED"] ?? 20_261_125) + i));
  }
});
