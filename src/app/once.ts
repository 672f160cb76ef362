/** One round and one pass of the outbox, then out: for cron, for tests, for the demo. */
import type { Config } from '../config/config.ts';
import { EXIT, type ExitCode } from '../errors.ts';
import type { Log } from '../outbox/log.ts';
import { listMessage } from '../message/list.ts';
import { deliverDue } from '../outbox/loop.ts';
import type { DeliveryReport } from '../outbox/report.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { firstExit } from './check.ts';
import { Collector } from './collect.ts';
import { countLostOf } from './delivery-answer.ts';
import { ofUnits } from './unreached.ts';
import { openMachinery, type Surroundings } from './compose.ts';
import { runRound, type RoundOutcome } from './round.ts';

export interface OnceRequest {
  readonly config: Config;
  readonly surroundings: Surroundings;
  /** Fixed for a pinned clock. */
  readonly now: () => EpochSeconds;
  readonly signal: AbortSignal;
  readonly log: Log;
}

export interface OnceResult {
  readonly outcome: RoundOutcome;
  readonly delivery: DeliveryReport;
  readonly exit: ExitCode;
}

/** @throws StoreError, DeliveryError */
export async function once(request: OnceRequest): Promise<OnceResult> {
  const { config, surroundings, now, signal, log } = request;
  const machinery = await openMachinery(config, { surroundings, now, signal, log });
  try {
    const { store, sources, channels, owner } = machinery;
    const outcome = await runRound({ config, sources: sources.offered, store, owner, now, signal, log });
    const { leaseSeconds } = config.delivery;
    const gather = listMessage;
    const delivery = await deliverDue({ store, channels, now, owner, leaseSeconds, signal, log, gather });
    const unreadable = await store.countUnreadable();
    const { retrying } = await store.outboxCounts();
    const offered = await store.countLost(outcome.offered);
    const undelivered = await store.undelivered(now());
    const unreached = ofUnits(config, undelivered.unreached).length;
    const lost = offered + countLostOf(config, undelivered) + unreached;
    const collector = new Collector({ config, store, sources, signal, log });
    await collector.collect(outcome.evaluation);
    await collector.ended();
    return { outcome, delivery, exit: exitOf(outcome, { undelivered: retrying + lost, unreadable }) };
  } finally {
    await machinery.close();
  }
}

/**
 * Nobody comes back to try again, so a message that still waits after an attempt counts as undelivered, and so
 * does one that was lost in an earlier run and still holds.
 */
function exitOf(
  { record, evaluation }: RoundOutcome,
  { undelivered, unreadable }: { readonly undelivered: number; readonly unreadable: number },
): ExitCode {
  const codes = new Set<ExitCode>();
  if (unreadable > 0 || evaluation.units.some((u) => u.record.damaged)) codes.add(EXIT.store);
  if (record.placesWithout > 0) codes.add(EXIT.noForecast);
  if (undelivered > 0) codes.add(EXIT.undelivered);
  return firstExit(codes);
}
