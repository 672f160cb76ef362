import { setTimeout as delay } from 'node:timers/promises';
import type { SourceError } from '../../errors.ts';
import type { ForecastSource, Point, SourceAnswer } from '../source.ts';
import { readAnswers } from './answers.ts';
import { ask, type OpenMeteoOptions, type Visit } from './exchange.ts';
import { backoffMs, FULL_ALLOWANCE, recovery } from './recovery.ts';
import { requestBatches } from './request.ts';

/** Open-Meteo's forecast API, or a service that answers like it, at `baseUrl`. */
export function openMeteoSource(options: OpenMeteoOptions): ForecastSource {
  const { host } = new URL(options.baseUrl);
  return {
    id: options.id,
    fetch: (points, now, signal) => {
      const context = { source: options.id, host, apiKey: options.apiKey, now };
      return fetchAll(points, { options, context, now, signal });
    },
  };
}

/** Batch after batch, never two at once: the free service allows one request in flight per address. */
async function fetchAll(points: readonly Point[], visit: Visit): Promise<ReadonlyMap<string, SourceAnswer>> {
  const answers = new Map<string, SourceAnswer>();
  const waiting = [...requestBatches(points)];
  let left = FULL_ALLOWANCE;
  for (let batch = waiting.shift(); batch !== undefined; batch = waiting.shift()) {
    const asked = await ask(batch, visit);
    if (asked.ok) {
      const read = readAnswers(asked.value, batch, { source: visit.options.id, now: visit.now });
      read.forEach((answer, id) => answers.set(id, answer));
      continue;
    }
    switch (recovery(asked.failure, batch.length, left)) {
      case 'stop':
        failAll([batch, ...waiting.splice(0)].flat(), asked.failure.error, answers);
        break;
      case 'split':
        left = { ...left, splits: left.splits - 1 };
        waiting.unshift(...halves(batch));
        break;
      case 'again':
        await pause(backoffMs(left.retries, visit.options.random ?? Math.random), visit);
        left = { ...left, retries: left.retries - 1 };
        waiting.unshift(batch);
        break;
      case 'give-up':
        failAll(batch, asked.failure.error, answers);
    }
  }
  return answers;
}

function failAll(points: readonly Point[], error: SourceError, answers: Map<string, SourceAnswer>): void {
  for (const point of points) answers.set(point.id, { ok: false, error });
}

function halves(points: readonly Point[]): readonly (readonly Point[])[] {
  const middle = Math.ceil(points.length / 2);
  return [points.slice(0, middle), points.slice(middle)];
}

async function pause(ms: number, { options, signal }: Visit): Promise<void> {
  const sleep = options.sleep ?? ((time, stop) => delay(time, undefined, { signal: stop }));
  await sleep(ms, signal);
  signal.throwIfAborted();
}
