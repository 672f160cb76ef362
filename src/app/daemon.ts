/**
 * The program as a daemon: a round at start and on schedule, the outbox all the while, one AbortSignal for its
 * life. SIGHUP starts a new generation with the config read anew; a bad one leaves the old generation running.
 */
import type { Config } from '../config/config.ts';
import type { Log } from '../outbox/log.ts';
import { runOutbox } from '../outbox/run.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openMachinery, type Surroundings } from './compose.ts';
import { Rounds, messageOf } from './rounds.ts';

export interface DaemonRequest {
  readonly config: Config;
  /** Reads the config again. @throws ConfigError */
  readonly reread: () => Config;
  readonly surroundings: Surroundings;
  readonly now: () => EpochSeconds;
  /** Aborted by the first signal to stop. */
  readonly signal: AbortSignal;
  /** Calls back at each request to read the config again. */
  readonly onReload: (reload: () => void) => void;
  readonly log: Log;
}

/** Resolves when `signal` was aborted and all in hand has ended. @throws StoreError, DeliveryError at start. */
export async function runDaemon(request: DaemonRequest): Promise<void> {
  const { signal, log } = request;
  let generation = await startGeneration(request, request.config);
  let turn: Promise<void> = Promise.resolve();
  request.onReload(() => {
    turn = turn.then(async () => {
      if (!signal.aborted) generation = await nextGeneration(request, generation);
    });
  });
  await aborted(signal);
  log.info({}, 'Stopping: what is in hand is finished first.');
  await turn;
  await generation.end();
  log.info({}, 'Stopped.');
}

interface Generation {
  end(): Promise<void>;
}

async function nextGeneration(request: DaemonRequest, running: Generation): Promise<Generation> {
  const { log } = request;
  try {
    const config = request.reread();
    const next = await startGeneration(request, config);
    await running.end();
    log.info({ file: config.file }, 'The config was read again and is in force.');
    return next;
  } catch (error) {
    log.error({ error: messageOf(error) }, 'The new config cannot be used; the old one stays in force.');
    return running;
  }
}

async function startGeneration(request: DaemonRequest, config: Config): Promise<Generation> {
  const stop = new AbortController();
  // A request to stop reaches a generation that is being replaced, too, and not only after its successor began.
  const signal = AbortSignal.any([request.signal, stop.signal]);
  const machinery = await openMachinery(config, request.surroundings, signal);
  const outbox = runOutbox({
    store: machinery.store,
    channels: machinery.channels,
    now: request.now,
    owner: machinery.owner,
    leaseSeconds: config.delivery.leaseSeconds,
    signal,
    log: request.log,
    jitter: Math.random,
  });
  const rounds = new Rounds({
    config,
    machinery,
    signal,
    now: request.now,
    log: request.log,
    wake: () => outbox.wake(),
  });
  rounds.start();
  return {
    async end() {
      stop.abort(new Error('The program stops.'));
      await rounds.ended();
      await outbox.finished;
      await machinery.close();
    },
  };
}

function aborted(signal: AbortSignal): Promise<void> {
  if (signal.aborted) return Promise.resolve();
  return new Promise((resolve) => {
    signal.addEventListener('abort', () => resolve(), { once: true });
  });
}
