/** What `explain` lays open of one part. */
import { conductanceAt } from '../model/part-levels.ts';
import { budgetKelvinHours } from '../model/part.ts';
import { holdsWater, type Harm } from '../model/damage.ts';
import { runPart, type PartRun, type Trace } from '../model/trace.ts';
import type { Part } from '../model/unit.ts';
import { circuitState, type UnitWater } from '../model/water-state.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';

interface Asked {
  readonly trace: Trace;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
  readonly harm: Harm;
  /** After now; infinite: never. */
  readonly damagedAt: EpochSeconds;
}

/** Series of the part full of water, or holding what its circuit's state leaves in it; null before it held any. */
export function partAnswer(part: Part, { trace, water, now, harm, damagedAt }: Asked) {
  const circuit = circuitState(water, part.circuit);
  const run = runPart(trace, { part, wetSince: circuit.since });
  const byHour = (): number[] =>
    numbers(Float64Array.from(trace.air.windClass, (wind) => conductanceAt(part, wind)));
  return {
    id: part.id,
    label: part.label,
    zone: part.zone,
    circuit: part.circuit,
    waterState: circuit.state.kind,
    holdsWater: holdsWater(part, circuit.state),
    harm,
    damagedAt: damagedAt === Infinity ? null : isoSecond(Math.round(damagedAt)),
    waterKg: part.waterKg,
    wallHeatCapacityJPerK: part.wallHeatCapacityJPerK,
    startTemperatureC: part.startTemperatureC ?? firstKnown(run.temperatureC),
    conductanceWPerK: part.windShare > 0 ? byHour() : part.conductanceWPerK,
    calmConductanceWPerK: part.conductanceWPerK,
    ...(part.heat === undefined ? {} : { heat: part.heat }),
    iceLayerRatio: part.iceLayerRatio,
    headroom: part.headroom === true,
    blocked: part.blocked,
    solid: part.solid,
    budgetKelvinHours: {
      blocked: budgetKelvinHours(part, part.blocked),
      solid: budgetKelvinHours(part, part.solid),
    },
    ...mostUsed(run, { firstHour: trace.air.firstHour, now }),
    temperatureC: numbers(run.temperatureC),
    iceFraction: numbers(run.iceFraction),
    usedKelvinHours: numbers(run.usedKelvinHours),
  };
}

/** From now on: the most of its budget that is used and when, and when it is first blocked. */
function mostUsed(run: PartRun, { firstHour, now }: { firstHour: EpochSeconds; now: EpochSeconds }) {
  const first = Math.max(0, Math.floor((now - firstHour) / HOUR_S));
  let most = first;
  for (let hour = first; hour < run.usedKelvinHours.length; hour++) {
    if ((run.usedKelvinHours[hour] ?? 0) > (run.usedKelvinHours[most] ?? 0)) most = hour;
  }
  const blocked = run.events.find((e) => e.line === 'blocked' && e.at >= now)?.at;
  return {
    mostUsedKelvinHours: (run.usedKelvinHours[most] ?? 0) || 0,
    mostUsedAt: isoSecond(firstHour + most * HOUR_S),
    blockedAt: blocked === undefined ? null : isoSecond(Math.round(blocked)),
  };
}

function firstKnown(values: Float64Array): number | null {
  return values.find((v) => !Number.isNaN(v)) ?? null;
}

/** NaN is not JSON: unknown is null. */
export function numbers(values: Float64Array): number[] {
  return Array.from(values, (v) =>
    Number.isNaN(v) ? (null as unknown as number) : Math.round(v * 1e9) / 1e9 + 0,
  );
}
