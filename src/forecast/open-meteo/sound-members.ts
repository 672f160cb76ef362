import type { EnsembleMember } from './ensemble-parse.ts';

/** A member that says one and the same for so long while the others move has stopped. */
const STILL_HOURS = 48;

/** The others move when most of them change by more than this in that time [K]. */
const MOVES_K = 0.5;

export interface Sifted {
  readonly sound: readonly EnsembleMember[];
  readonly unknown: readonly number[];
  readonly still: readonly number[];
}

/**
 * Members whose course can be believed, from the hour `from` on. Seen at the service: all members null where upstream
 * shortened its horizon, and a control that stood still for two days while fifty others went on.
 */
export function siftMembers(members: readonly EnsembleMember[], from: number): Sifted {
  const known = members.filter(({ temperatureC }) => temperatureC.slice(from).some((t) => !Number.isNaN(t)));
  const spans = known.map(({ temperatureC }) => span(temperatureC.slice(from, from + STILL_HOURS + 1)));
  const moving = spans.filter((moved) => moved > MOVES_K).length;
  const stops = (index: number): boolean => spans[index] === 0 && moving > known.length / 2;
  return {
    sound: known.filter((_, index) => !stops(index)),
    unknown: numbers(members.filter((member) => !known.includes(member))),
    still: numbers(known.filter((_, index) => stops(index))),
  };
}

function numbers(members: readonly EnsembleMember[]): readonly number[] {
  return members.map(({ number }) => number);
}

/** NaN where less than half of the hours are known. */
function span(series: readonly number[]): number {
  const known = series.filter((t) => !Number.isNaN(t));
  return known.length * 2 < STILL_HOURS ? Number.NaN : Math.max(...known) - Math.min(...known);
}
