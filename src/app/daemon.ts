/**
 * The program as a daemon: a round at start and on schedule, the outbox all the while, one AbortSignal for its
 * life. SIGHUP starts a new generation with the config read anew; a bad one leaves the old generation running. So
 * does a database file that was replaced, with the same config.
 */
import type { Config } from '../config/config.ts';
import { plainListMessage } from '../message/plain-list.ts';
import type { Log } from '../outbox/log.ts';
import { runOutbox } from '../outbox/run.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openMachinery, type Machinery, type Surroundings } from './compose.ts';
import { messageOf } from './error-words.ts';
import { intakeOf } from './intake-config.ts';
import { openIntake, type IntakeOptions, type OpenIntake } from './intake.ts';
import { Rounds } from './rounds.ts';
import { watchStore } from './store-watch.ts';

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

/** Resolves when `signal` was aborted and all in hand has ended. @throws StoreError, DeliveryError, ConfigError at start. */
export async function runDaemon(request: DaemonRequest): Promise<void> {
  const { signal, log } = request;
  let turn: Promise<void> = Promise.resolve();
  const renew = (config: () => Config, why: Renewal): void => {
    turn = turn.then(async () => {
      if (!signal.aborted) generation = await nextGeneration({ ...course, config, why }, generation);
    });
  };
  const course: Course = {
    request,
    onLost: (config) => {
      log.error(
        { store: config.store.path, hint: LOST_HINT },
        'The database file is gone, or is another one.',
      );
      renew(() => config, REOPENED);
    },
  };
  let generation = await startGeneration(course, request.config);
  request.onReload(() => renew(request.reread, REREAD));
  await aborted(signal);
  log.info({}, 'Stopping: what is in hand is finished first.');
  await turn;
  await generation.end();
  log.info({}, 'Stopped.');
}

interface Generation {
  end(): Promise<void>;
}

interface Course {
  readonly request: DaemonRequest;
  /** The file that a generation has open is no longer the one in its place. */
  readonly onLost: (config: Config) => void;
}

interface Renewal {
  readonly done: string;
  readonly failed: string;
}

const REREAD: Renewal = {
  done: 'The config was read again and is in force.',
  failed: 'The new config cannot be used; the old one stays in force.',
};

const REOPENED: Renewal = {
  done: 'The database file was opened anew.',
  failed: 'The database file cannot be opened anew; what is written until it can be is lost.',
};

const LOST_HINT = 'Stop the daemon before the file is moved, or a backup is put in its place.';

async function nextGeneration(
  { config: read, why, ...course }: Course & { readonly config: () => Config; readonly why: Renewal },
  running: Generation,
): Promise<Generation> {
  const { log } = course.request;
  try {
    const config = read();
    const next = await startGeneration(course, config);
    await running.end();
    log.info({ file: config.file }, why.done);
    return next;
  } catch (error) {
    log.error({ error: messageOf(error) }, why.failed);
    return running;
  }
}

async function startGeneration({ request, onLost }: Course, config: Config): Promise<Generation> {
  const stop = new AbortController();
  // A request to stop reaches a generation that is being replaced, too, and not only after its successor began.
  const signal = AbortSignal.any([request.signal, stop.signal]);
  const { surroundings, now, log } = request;
  const machinery = await openMachinery(config, { surroundings, now, signal, log });
  let wakeRounds = (): void => undefined;
  const intake = await openedIntake(machinery, {
    ...request,
    config,
    signal,
    onAnswer: () => wakeRounds(),
  });
  const outbox = runOutbox({
    store: machinery.store,
    channels: machinery.channels,
    now: request.now,
    owner: machinery.owner,
    leaseSeconds: config.delivery.leaseSeconds,
    signal,
    log: request.log,
    jitter: Math.random,
    gather: plainListMessage,
    onLost: () => {
      // Those who look after the place hear of it from a round.
      if (config.places.some(({ managers }) => managers.length > 0)) rounds.ask();
    },
  });
  const rounds = new Rounds({
    config,
    machinery,
    signal,
    now: request.now,
    log: request.log,
    wake: () => outbox.wake(),
  });
  const unwatch = watchStore(config.store.path, () => onLost(config));
  // Until here nothing was computed that an answer could change.
  wakeRounds = () => rounds.soon();
  rounds.start();
  return {
    async end() {
      unwatch();
      stop.abort(new Error('The program stops.'));
      await rounds.ended();
      await outbox.finished;
      await intake.close();
      await machinery.close();
    },
  };
}

/** A config whose secrets are not there leaves nothing open. */
async function openedIntake(
  machinery: Machinery,
  {
    config,
    surroundings,
    now,
    log,
    signal,
    onAnswer,
  }: DaemonRequest & Required<Pick<IntakeOptions, 'onAnswer'>>,
): Promise<OpenIntake> {
  try {
    const doors = intakeOf(config, surroundings.env);
    return await openIntake({ ...doors, config, store: machinery.store, now, log, signal, onAnswer });
  } catch (error) {
    await machinery.close();
    throw error;
  }
}

function aborted(signal: AbortSignal): Promise<void> {
  if (signal.aborted) return Promise.resolve();
  return new Promise((resolve) => {
    signal.addEventListener('abort', () => resolve(), { once: true });
  });
}
