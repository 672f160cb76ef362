/** The heat that came to each node of a trace, hour by hour: what people are shown of it. */
import { HOUR_S } from '../quantity/instant.ts';
import { Course } from './course.ts';
import { windOfClass } from './film.ts';
import { BAND_K } from './heat-law.ts';
import { pathConductance } from './linear-system.ts';
import type { Trace } from './trace.ts';
import type { BoundaryId, NodeId, ThermalPath } from './unit.ts';
import { GROUND_A, GROUND_B, OUTSIDE_A, OUTSIDE_B, STRETCH } from './zone-track.ts';

/** Means over each hour [W]. */
export interface HeatByHour {
  /** All of the furnace's. */
  readonly furnaceW: Float64Array;
  /** Electric heaters and heat pump, all inside. */
  readonly electricW: Float64Array;
  /** Of the furnace's what goes down the duct: into the underbelly, or into the open where there is none. */
  readonly ductW: Float64Array;
  /** By path, from its first end to its second. */
  readonly pathsW: ReadonlyMap<ThermalPath, Float64Array>;
}

export function heatByHour(trace: Trace): HeatByHour {
  const { unit, track, air } = trace;
  const { paths } = unit.network;
  const hourly = (): Float64Array => new Float64Array(air.hours);
  const heat = { furnaceW: hourly(), electricW: hourly(), ductW: hourly() };
  const pathsW = new Map(paths.map((path) => [path, hourly()] as const));
  const add = (to: Float64Array, hour: number, joules: number): void => {
    to[hour] = (to[hour] ?? 0) + joules / HOUR_S;
  };
  for (let i = 0; i < track.count; i++) {
    const hour = track.hour[i] ?? Number.NaN;
    const ends = endsOver(trace, i);
    const windMps = windOfClass(track.wind(i));
    let lostBelow = 0;
    for (const [path, watts] of pathsW) {
      const [one, other] = path.between;
      const joules = pathConductance(path, windMps) * (ends(one) - ends(other));
      add(watts, hour, joules);
      if (one === 'underbelly') lostBelow += joules;
      if (other === 'underbelly') lostBelow -= joules;
    }
    add(heat.furnaceW, hour, track.furnaceJ(i));
    add(heat.electricW, hour, electricJ(trace, i, ends('inside')));
    // At its cap the underbelly takes from the duct what it loses.
    const capped = track.systems[i]?.capped === true;
    add(heat.ductW, hour, capped ? lostBelow : (unit.heat?.ductedShare ?? 0) * track.furnaceJ(i));
  }
  return { ...heat, pathsW };
}

/** They act in proportion over the band above the furnace's, and are full on below it. */
function electricJ({ unit, track }: Trace, stretch: number, insideKelvinSeconds: number): number {
  const { piece = 'off', electricW = 0 } = track.systems[stretch] ?? {};
  const t = track.durationS(stretch);
  if (piece === 'off') return 0;
  if (piece !== 'electric') return electricW * t;
  const topC = (unit.heat?.setC ?? Number.NaN) + 1.5 * BAND_K;
  return (electricW / BAND_K) * (topC * t - insideKelvinSeconds);
}

/** The temperature of an end, summed up over a stretch [K·s]. */
function endsOver({ unit, track }: Trace, stretch: number): (end: NodeId | BoundaryId) => number {
  const t = track.durationS(stretch);
  const at = (place: number): number => track.rows[stretch * STRETCH + place] ?? Number.NaN;
  const line = (a: number, b: number): number => t * (a + (b * t) / 2);
  const course = new Course();
  const sums = new Map<NodeId | BoundaryId, number>([
    ['outside', line(at(OUTSIDE_A), at(OUTSIDE_B))],
    ['ground', line(at(GROUND_A), at(GROUND_B))],
  ]);
  unit.network.nodes.forEach(({ id }, node) => {
    track.clear(course, stretch);
    track.addNode(course, stretch, { node, weight: 1 });
    sums.set(id, course.integralTo(t));
  });
  return (end) => sums.get(end) ?? Number.NaN;
}
