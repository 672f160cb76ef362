/** Which heat flows make a zone what it is when it is coldest. */
import { windOfClass } from '../model/film.ts';
import { pathConductance } from '../model/linear-system.ts';
import { furnaceByHour, zoneAtHours, type Trace } from '../model/trace.ts';
import type { NodeId, ThermalPath, UnitModel } from '../model/unit.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';

/** Hours up to the lowest temperature over which flows are averaged. */
const HOURS = 6;

/**
 * For every zone with air of its own: mean flows into it [W] over the hours before it is coldest, greatest first.
 * A flow out of it is negative. What they do not add up to comes out of what the zone holds.
 */
export function flowsAnswer(model: UnitModel, trace: Trace, now: EpochSeconds) {
  const first = Math.max(0, Math.ceil((now - trace.air.firstHour) / HOUR_S));
  return Object.fromEntries(
    model.network.nodes.map(({ id }) => {
      const values = zoneAtHours(trace, id);
      const ahead = values.subarray(first);
      const coldest = first + ahead.indexOf(Math.min(...ahead));
      const hours = { from: Math.max(0, coldest - HOURS), to: Math.max(1, coldest) };
      const flows = [
        ...model.network.paths
          .filter((p) => p.between.includes(id))
          .map((p) => pathFlow(trace, { p, id, hours })),
        ...heatFlow(model, trace, { id, hours }),
      ].toSorted((x, y) => Math.abs(y.watts) - Math.abs(x.watts));
      return [id, { coldestAt: isoSecond(trace.air.firstHour + coldest * HOUR_S), hours: HOURS, flows }];
    }),
  );
}

interface Hours {
  readonly from: number;
  readonly to: number;
}

function pathFlow(trace: Trace, { p, id, hours }: { p: ThermalPath; id: NodeId; hours: Hours }) {
  const other = p.between[0] === id ? p.between[1] : p.between[0];
  const mine = zoneAtHours(trace, id);
  const theirs = other === 'ground' ? trace.air.groundC : zoneAtHours(trace, other);
  let sum = 0;
  for (let hour = hours.from; hour < hours.to; hour++) {
    const conductance = pathConductance(p, windOfClass(trace.air.windClass[hour] ?? 0));
    const mean = (values: Float64Array): number => ((values[hour] ?? 0) + (values[hour + 1] ?? 0)) / 2;
    sum += conductance * (mean(theirs) - mean(mine));
  }
  return { path: p.name, from: other as string, watts: Math.round(sum / (hours.to - hours.from)) };
}

function heatFlow({ heat, network }: UnitModel, trace: Trace, { id, hours }: { id: NodeId; hours: Hours }) {
  if (heat === null || (id !== 'inside' && id !== 'underbelly')) return [];
  const below = network.nodes.some((n) => n.id === 'underbelly') ? heat.ductedShare : 0;
  const share = id === 'inside' ? 1 - below : below;
  const given = furnaceByHour(trace).subarray(hours.from, hours.to);
  const mean = given.reduce((sum, w) => sum + w, 0) / Math.max(1, given.length);
  return [{ path: 'furnace', from: 'furnace', watts: Math.round(share * mean) }];
}
