/** Which heat flows make a zone what it is when it is coldest. */
import type { HeatByHour } from '../model/heat-by-hour.ts';
import { zoneAtHours, type Trace } from '../model/trace.ts';
import type { NodeId, UnitModel } from '../model/unit.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';

/** Hours up to the lowest temperature over which flows are averaged. */
const HOURS = 6;

interface Asked {
  readonly trace: Trace;
  readonly heat: HeatByHour;
  readonly now: EpochSeconds;
}

/**
 * For every zone with air of its own: mean flows into it [W] over the hours before it is coldest, greatest first.
 * A flow out of it is negative. What they do not add up to comes out of what the zone holds.
 */
export function flowsAnswer(model: UnitModel, { trace, heat, now }: Asked) {
  const first = Math.max(0, Math.ceil((now - trace.air.firstHour) / HOUR_S));
  return Object.fromEntries(
    model.network.nodes.map(({ id }) => {
      const ahead = zoneAtHours(trace, id).subarray(first);
      const coldest = first + ahead.indexOf(Math.min(...ahead));
      const hours = { from: Math.max(0, coldest - HOURS), to: Math.max(1, coldest) };
      const flows = flowsInto(id, model, heat)
        .map(({ path, from, byHour }) => ({ path, from, watts: Math.round(mean(byHour, hours)) }))
        .toSorted((x, y) => Math.abs(y.watts) - Math.abs(x.watts));
      const lost = id === 'inside' ? ductLoss(model, mean(heat.ductW, hours)) : {};
      const coldestAt = isoSecond(trace.air.firstHour + coldest * HOUR_S);
      return [id, { coldestAt, hours: HOURS, flows, ...lost }];
    }),
  );
}

interface Flow {
  readonly path: string;
  readonly from: string;
  /** Into the node [W]. */
  readonly byHour: Float64Array;
}

/** Everything that comes into a node or leaves it: over any hour its sum is what the node's own heat grows by. */
export function flowsInto(id: NodeId, { heat: given }: UnitModel, heat: HeatByHour): readonly Flow[] {
  const paths = [...heat.pathsW].flatMap(
    ([
      {
        name,
        between: [one, other],
      },
      watts,
    ]): Flow[] => {
      if (one === id) return [{ path: name, from: other, byHour: watts.map((w) => -w + 0) }];
      return other === id ? [{ path: name, from: one, byHour: watts }] : [];
    },
  );
  if (given === null) return paths;
  const furnace = (byHour: Float64Array): Flow => ({ path: 'furnace', from: 'furnace', byHour });
  if (id === 'underbelly') return given.capacityW > 0 ? [...paths, furnace(heat.ductW)] : paths;
  if (id !== 'inside') return paths;
  const left = heat.furnaceW.map((w, hour) => w - (heat.ductW[hour] ?? 0));
  const electric = given.electricW !== undefined || given.heatPump !== undefined;
  return [
    ...paths,
    ...(given.capacityW > 0 ? [furnace(left)] : []),
    ...(electric ? [{ path: 'electric', from: 'electric', byHour: heat.electricW }] : []),
  ];
}

/** Under an open belly the duct warms the open air. Absent: nothing is lost so. */
function ductLoss({ network }: UnitModel, watts: number): { readonly ductLostW?: number } {
  const holds = network.nodes.some(({ id }) => id === 'underbelly');
  return holds || watts < 0.5 ? {} : { ductLostW: Math.round(watts) };
}

function mean(byHour: Float64Array, { from, to }: { readonly from: number; readonly to: number }): number {
  return byHour.subarray(from, to).reduce((sum, w) => sum + w, 0) / Math.max(1, to - from);
}
