/**
 * The program as a daemon: a round at start and on schedule, the outbox all the while, one AbortSignal for its
 * life. SIGHUP starts a new generation with the config read anew; a bad one leaves the old generation running. So
 * does a database file that was replaced, with the same config.
 */
import type { Config } from '../config/config.ts';
import { listMessage } from '../message/list.ts';
import type { Log } from '../outbox/log.ts';
import { runOutbox } from '../outbox/run.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openMachinery, type Machinery, type Surroundings } from './compose.ts';
import { messageOf } from './error-words.ts';
import { Heartbeat } from './heartbeat.ts';
import { heartbeatUrl, intakeOf } from './intake-config.ts';
import { openIntake, wellness, type IntakeOptions, type OpenIntake } from './intake.ts';
import { Pulse } from './pulse.ts';
import { Rounds } from './rounds.ts';
import { keepAlive, serviceManager } from './service-manager.ts';
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
  const told = tellSystemd(request, () => generation.standstill());
  request.onReload(() => renew(request.reread, REREAD));
  await aborted(signal);
  const stopping = told.stopping();
  log.info({}, 'Stopping: what is in hand is finished first.');
  await turn;
  await generation.end();
  await stopping;
  log.info({}, 'Stopped.');
}

/** Does nothing where systemd did not start it. */
function tellSystemd(
  { surroundings, log }: DaemonRequest,
  standstill: () => string | null,
): { readonly stopping: () => Promise<void> } {
  const manager = serviceManager(surroundings.env, log);
  if (manager === null) return { stopping: async () => undefined };
  void manager.tell('READY=1', 'STATUS=Watching.');
  const stop = keepAlive({ manager, standstill, log });
  return {
    async stopping() {
      stop();
      await manager.tell('STOPPING=1', 'STATUS=Finishing what is in hand.');
    },
  };
}

interface Generation {
  /** What stands still; null: nothing. */
  standstill(): string | null;
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
  const url = heartbeatUrl(config, surroundings.env);
  const machinery = await openMachinery(config, { surroundings, now, signal, log });
  let wakeRounds = (): void => undefined;
  const intake = await openedIntake(machinery, {
    ...request,
    config,
    signal,
    onAnswer: () => wakeRounds(),
  });
  const pulse = new Pulse({ now: request.now, elapsedMs: () => performance.now() });
  const outbox = runOutbox({
    store: machinery.store,
    channels: machinery.channels,
    now: pulse.outboxClock,
    owner: machinery.owner,
    leaseSeconds: config.delivery.leaseSeconds,
    signal,
    log: request.log,
    jitter: Math.random,
    gather: listMessage,
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
    pulse,
    onEnded: () => heartbeat?.roundEnded(),
  });
  const heartbeat = heartbeatOf({ url, config, machinery, request, signal });
  const unwatch = watchStore(config.store.path, () => onLost(config));
  // Until here nothing was computed that an answer could change.
  wakeRounds = () => rounds.ask();
  rounds.start();
  heartbeat?.start();
  return {
    standstill: () =>
      pulse.standstill({ schedule: config.schedule, leaseSeconds: config.delivery.leaseSeconds }),
    async end() {
      unwatch();
      stop.abort(new Error('The program stops.'));
      await rounds.ended();
      await heartbeat?.ended();
      await outbox.finished;
      await intake.close();
      await machinery.close();
    },
  };
}

interface HeartbeatOf {
  readonly url: string | null;
  readonly config: Config;
  readonly machinery: Machinery;
  readonly request: DaemonRequest;
  readonly signal: AbortSignal;
}

/** Null: none is configured. */
function heartbeatOf({ url, config, machinery, request, signal }: HeartbeatOf): Heartbeat | null {
  if (url === null || config.heartbeat === null) return null;
  const { now, log } = request;
  return new Heartbeat({
    url,
    everyMs: config.heartbeat.everySeconds * 1000,
    wellness: () => wellness({ config, store: machinery.store, now }),
    signal,
    log,
  });
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
