/** The model and the reference side by side, hour by hour. */
import { expect } from 'vitest';
import type { HeatPlan } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, furnaceByHour, runPart, zoneAtHours, type PartRun } from '../../src/model/trace.ts';
import { ZONES, type Part, type UnitModel } from '../../src/model/unit.ts';
import type { RandomWeather } from './random-unit.ts';
import { UnitReference, type ReferencePoint } from './unit-reference.ts';

export interface Comparison {
  readonly unit: UnitModel;
  readonly weather: RandomWeather;
  readonly plan: HeatPlan;
  readonly parts: readonly Part[];
}

export interface Compared {
  readonly trace: Trace;
  /** As the parts were given. */
  readonly runs: readonly PartRun[];
}

/** The reference's own tolerance is a hundredth of this [K and ice]. */
const NEAR = 1e-6;

/** Fails where zones, parts, furnace or the battery's end differ. */
export function compareUnit({ unit, weather, plan, parts }: Comparison): Compared {
  const { temperatureC, groundC, windMps } = weather;
  const hours = temperatureC.length - 1;
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
    windMps: Array.from({ length: hours }, (_, i) => (reaching * (windMps[i]! + windMps[i + 1]!)) / 2),
    plan,
    parts,
  });
  reference.start(unit.network.nodes.map(({ id }) => zones.get(id)![0]!));
  expect(reference.driftOfNodes(), 'nodes at rest at the start').toBeLessThan(1e-10);
  let before = reference.point();
  for (let hour = 0; hour <= hours; hour++) {
    const theirs = hour === 0 ? before : reference.advance();
    for (const zone of ZONES) nearly(zones.get(zone)![hour]!, theirs.zonesC[zone]!, `${zone}, hour ${hour}`);
    compareParts(parts, runs, { theirs, hour });
    if (hour > 0) {
      const meanW = (theirs.furnaceJ - before.furnaceJ) / 3600;
      // A microkelvin of a furnace's band of 1 K.
      expect(Math.abs(furnace[hour - 1]! - meanW), `furnace, hour ${hour}`).toBeLessThan(0.01);
    }
    before = theirs;
  }
  if (reference.batteryOutS === Infinity) expect(trace.track.batteryOutS).toBe(Infinity);
  else expect(Math.abs(trace.track.batteryOutS - reference.batteryOutS)).toBeLessThan(1e-3);
  return { trace, runs };
}

function compareParts(
  parts: readonly Part[],
  runs: readonly PartRun[],
  { theirs, hour }: { readonly theirs: ReferencePoint; readonly hour: number },
): void {
  theirs.parts.forEach(({ temperatureC, iceFraction }, i) => {
    const where = `${parts[i]!.id}, hour ${hour}`;
    nearly(runs[i]!.temperatureC[hour]!, temperatureC, where);
    nearly(runs[i]!.iceFraction[hour]!, iceFraction, where);
  });
}

function nearly(ours: number, theirs: number, where: string): void {
  expect(Math.abs(ours - theirs), where).toBeLessThan(NEAR);
}
