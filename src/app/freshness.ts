/** Whether everything is fresh: the one rule behind /health, the heartbeat and the weekly line. Pure. */
import { dueBefore } from '../config/cron.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { OutboxHealth, RoundRecord } from '../store/store.ts';

export interface FreshnessState {
  /** Null: none has finished yet. */
  readonly lastRound: Pick<RoundRecord, 'finishedAt' | 'placesWithout'> | null;
  /** Cron expression, UTC. */
  readonly schedule: string;
  readonly outbox: OutboxHealth;
  /** How many units the database holds what cannot be read of: nothing is told of them. */
  readonly damaged: number;
}

/** A round takes its time, more so where a service is slow. */
const ROUND_GRACE_S = 900;
/** The clocks of two machines differ; by more than this, one is wrong. */
const CLOCK_SLACK_S = HOUR_S;

/** What is not fresh, in full sentences; empty: everything is. */
export function staleness(
  { lastRound, schedule, outbox, damaged }: FreshnessState,
  now: EpochSeconds,
): readonly string[] {
  return [...roundReasons(lastRound, schedule, now), ...outboxReasons(outbox), ...damagedReasons(damaged)];
}

/** Two rounds in a row may fail before somebody is called. */
function roundReasons(
  round: FreshnessState['lastRound'],
  schedule: string,
  now: EpochSeconds,
): readonly string[] {
  if (round === null) return ['No round has finished yet.'];
  const { finishedAt, placesWithout } = round;
  // A round that is yet to come says nothing: the clock is or was wrong.
  if (finishedAt > now + CLOCK_SLACK_S)
    return [
      `The last round finished at ${isoSecond(finishedAt)}, which is yet to come: the clock is or was wrong.`,
    ];
  const missed = dueBefore(schedule, now - ROUND_GRACE_S, 2);
  if (missed !== null && finishedAt < missed)
    return [`Two rounds were missed: none has finished since ${isoSecond(finishedAt)}.`];
  if (placesWithout === 0) return [];
  return [`The last round had no forecast for ${counted(placesWithout, 'place')}.`];
}

/** Nothing is told of a damaged unit until a person has said what is in it. Which it is stands in the log, not on a page for all. */
function damagedReasons(damaged: number): readonly string[] {
  if (damaged === 0) return [];
  return [
    `What the database holds of ${counted(damaged, 'unit')} is damaged, and no warning can come of it.`,
  ];
}

function outboxReasons({ overdue, stuck, lost, unsure }: OutboxHealth): readonly string[] {
  return [
    ...(overdue === 0
      ? []
      : [`${counted(overdue, 'message')} should have been sent and nobody has taken it up.`]),
    ...(stuck === 0
      ? []
      : [`${counted(stuck, 'message')} cannot be handed over and is tried again and again.`]),
    ...(unsure === 0
      ? []
      : [`${counted(unsure, 'message')} may not have arrived: no server has said whether it took it.`]),
    ...(lost === 0 ? [] : [`${counted(lost, 'message')} of the last day reached nobody.`]),
  ];
}

function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}
