/**
 * A network's balance, solved by Gaussian elimination and by small Euler steps: independent of the project's own
 * modes. Temperatures in °C, heat in W.
 */
import type { Network, NodeId } from '../../src/model/unit.ts';

export interface Around {
  readonly outsideC: number;
  readonly groundC?: number;
  readonly windMps?: number;
  /** Nodes held at a temperature. */
  readonly held?: Partial<Readonly<Record<NodeId, number>>>;
  /** Heat put into nodes. */
  readonly heatW?: Partial<Readonly<Record<NodeId, number>>>;
}

export type Temperatures = Readonly<Partial<Record<NodeId, number>>>;

/** Sum of G·(T_other − T) + Q = 0 at every node that is not held. */
export function atRest({ nodes, paths }: Network, around: Around): Temperatures {
  const held: Partial<Record<string, number>> = {
    ...around.held,
    outside: around.outsideC,
    ground: around.groundC ?? Number.NaN,
  };
  const free = nodes.map((node) => node.id).filter((id) => held[id] === undefined);
  const matrix = free.map(() => free.map(() => 0));
  const right = free.map((id) => around.heatW?.[id] ?? 0);
  for (const { between, calmWPerK, windWPerKPerMps } of paths) {
    const g = calmWPerK + windWPerKPerMps * (around.windMps ?? 0);
    for (const [here, there] of [between, between.toReversed()]) {
      const row = free.indexOf(here as NodeId);
      if (row < 0) continue;
      matrix[row]![row]! += g;
      const column = free.indexOf(there as NodeId);
      if (column >= 0) matrix[row]![column]! -= g;
      else if (g > 0) right[row]! += g * held[there]!;
    }
  }
  const solved = eliminate(matrix, right);
  return { ...around.held, ...Object.fromEntries(free.map((id, i) => [id, solved[i]!])) };
}

function eliminate(matrix: readonly number[][], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const n = rows.length;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      if (j === i) continue;
      const factor = rows[j]![i]! / rows[i]![i]!;
      rows[j] = rows[j]!.map((value, k) => value - factor * rows[i]![k]!);
    }
  }
  return rows.map((row, i) => row[n]! / row[i]!);
}

/** A course of days under a sine of the air outside, by Euler's steps of a minute: the last day, minute by minute. */
export function lastDay(
  network: Network,
  of: { readonly meanC: number; readonly swingK: number; readonly groundC: number; readonly days: number },
): readonly { readonly outsideC: number; readonly nodes: Temperatures }[] {
  const state: Partial<Record<string, number>> = {};
  for (const { id } of network.nodes) state[id] = of.meanC;
  const day: { outsideC: number; nodes: Temperatures }[] = [];
  for (let minute = 0; minute < of.days * 1440; minute++) {
    const outsideC = of.meanC - of.swingK * Math.cos((2 * Math.PI * minute) / 1440);
    const all = { ...state, outside: outsideC, ground: of.groundC };
    for (const { id, capacityJPerK } of network.nodes) {
      const flow = network.paths
        .filter(({ between }) => between.includes(id))
        .map(({ between: [one, other], calmWPerK }) => {
          const there = (one === id ? other : one) as keyof typeof all;
          return calmWPerK * (all[there] - all[id as keyof typeof all]);
        })
        .reduce((sum, watts) => sum + watts, 0);
      state[id] = all[id as keyof typeof all] + (60 * flow) / capacityJPerK;
    }
    if (minute >= (of.days - 1) * 1440) day.push({ outsideC, nodes: { ...state } });
  }
  return day;
}
