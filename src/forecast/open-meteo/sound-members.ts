import type { EnsembleMember } from './ensemble-parse.ts';

/** A member that says one and the same for so long while the others move has stopped. */
const STILL_HOURS = 48;

/** The others move when most of them change by more than this in that time [K]. */
const MOVES_K = 0.5;

/** A member that ends so much before most others is of an older run: runs are 6 or 12 hours apart. */
const BEHIND_HOURS = 24;

export interface Sifted {
  readonly sound: readonly EnsembleMember[];
  /** Numbers of those that know nothing, that stand still, and that end before the others. */
  readonly unknown: readonly number[];
  readonly still: readonly number[];
  readonly behind: readonly number[];
}

/**
 * Members whose course can be believed, from the hour `from` on. Seen at the service: all members null where upstream
 * shortened its horizon (issue 982), and a control that for days was not renewed and ended two days before the other
 * fifty (issue 1844).
 */
export function siftMembers(members: readonly EnsembleMember[], from: number): Sifted {
  const known = members.filter(({ temperatureC }) => lastKnown(temperatureC) >= from);
  const spans = known.map(({ temperatureC }) => span(temperatureC.slice(from, from + STILL_HOURS + 1)));
  const most = known.length / 2;
  const moves = spans.filter((moved) => moved > MOVES_K).length > most;
  const ends = known.map(({ temperatureC }) => lastKnown(temperatureC)).toSorted((a, b) => a - b);
  const usualEnd = ends[Math.floor(most)] ?? 0;
  const still = known.filter((_, i) => moves && spans[i] === 0);
  const behind = known.filter(
    (member) => !still.includes(member) && lastKnown(member.temperatureC) <= usualEnd - BEHIND_HOURS,
  );
  return {
    sound: known.filter((member) => !still.includes(member) && !behind.includes(member)),
    unknown: numbers(members.filter((member) => !known.includes(member))),
    still: numbers(still),
    behind: numbers(behind),
  };
}

/** Index of the last hour that is known; −1: none. */
function lastKnown(temperatureC: readonly number[]): number {
  return temperatureC.findLastIndex((t) => !Number.isNaN(t));
}

function numbers(members: readonly EnsembleMember[]): readonly number[] {
  return members.map(({ number }) => number);
}

/** NaN where less than half of the hours are known. */
function span(series: readonly number[]): number {
  const known = series.filter((t) => !Number.isNaN(t));
  return known.length * 2 < STILL_HOURS ? Number.NaN : Math.max(...known) - Math.min(...known);
}
