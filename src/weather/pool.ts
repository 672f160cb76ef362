/**
 * One set of members from a single forecast and ensembles of several models: weights that sum to 1, each model with
 * its own share, however many members it has.
 */
import { dressed, honest, type Ahead, type SpreadLaw } from './calibrate.ts';
import type { Weighted } from './middle.ts';

/** Members of one model, by their indexes among all. */
export interface Group {
  /** Null: a single forecast, or members of the user's own file. */
  readonly model: string | null;
  readonly indexes: readonly number[];
  /** Its part of the pool; all sum to 1. */
  readonly share: number;
}

/** @param weights - relative weight of each model, of those without under `''`; positive, 1 where absent */
export function groupsOf(
  members: readonly { readonly model: string | null }[],
  weights: Readonly<Record<string, number>>,
): Group[] {
  const models = [...new Set(members.map((m) => m.model))];
  const weightOf = (model: string | null): number => weights[model ?? ''] ?? 1;
  const total = models.reduce((sum, model) => sum + weightOf(model), 0);
  return models.map((model) => ({
    model,
    indexes: members.flatMap((m, index) => (m.model === model ? [index] : [])),
    share: weightOf(model) / total,
  }));
}

/** Members in the order of their groups. Null: they are taken at their word. */
export interface Honesty {
  readonly law: SpreadLaw | null;
  readonly ahead: Ahead;
}

export function pooled<M extends Weighted>(
  members: readonly M[],
  groups: readonly Group[],
  { law, ahead }: Honesty,
): M[] {
  return groups.flatMap(({ model, indexes, share }) => {
    const own = normalised(indexes.flatMap((index) => members[index] ?? []));
    const [single] = own.length === 1 ? own : [];
    // A user's own members are meant as they are.
    const spread =
      law === null || (model === null && single === undefined)
        ? own
        : single !== undefined
          ? dressed(single, law, ahead)
          : honest(own, law, ahead);
    return spread.map((m) => ({ ...m, weight: m.weight * share }));
  });
}

/** Weights whose sum no number holds are brought down first: otherwise each would be 0, and so every chance. */
function normalised<M extends Weighted>(members: readonly M[]): M[] {
  const total = members.reduce((sum, m) => sum + m.weight, 0);
  if (total < Infinity) return members.map((m) => ({ ...m, weight: m.weight / total }));
  return normalised(members.map((m) => ({ ...m, weight: m.weight / (2 * members.length) })));
}

/** By hour, mean and standard deviation of the pool. */
export function spreadOf(
  members: readonly Weighted[],
  groups: readonly Group[],
): { meanC: Float64Array; deviationK: Float64Array } {
  const all = groups.flatMap(({ indexes, share }) =>
    normalised(indexes.flatMap((index) => members[index] ?? [])).map((m) => ({
      ...m,
      weight: m.weight * share,
    })),
  );
  const hours = all[0]?.temperatureC.length ?? 0;
  const over = (of: (t: number, hour: number) => number): Float64Array =>
    Float64Array.from({ length: hours }, (_, i) =>
      all.reduce((sum, m) => sum + m.weight * of(m.temperatureC[i] ?? Number.NaN, i), 0),
    );
  const meanC = over((t) => t);
  const deviationK = over((t, i) => (t - (meanC[i] ?? 0)) ** 2).map(Math.sqrt);
  return { meanC, deviationK };
}

/** What was pooled, and how: full sentences; none for a single forecast or a user's own members. */
export function poolSentences(groups: readonly Group[], honestly: boolean): string[] {
  const named = groups.flatMap(({ model, indexes, share }) =>
    model === null
      ? [`the single forecast ${percent(share)}`]
      : [`${model} (${indexes.length} members) ${percent(share)}`],
  );
  if (groups.every((g) => g.model === null)) return [];
  const sentences = [`Pooled by weight: ${named.join(', ')}.`];
  if (honestly)
    sentences.push(
      'Members of ensembles are taken as standing no closer together than forecasts err, since they come out too sure of themselves.',
    );
  return sentences;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}
