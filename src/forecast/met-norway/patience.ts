import type { Fetched, Service } from '../http/service.ts';

/** After this many points that got no answer at all the others are not asked in the same fetch. */
const FAILURES_PER_FETCH = 2;

/**
 * The service of one fetch, asked for one point after another: `pause` stands between two requests, and where the
 * service is down not every point waits for it in turn.
 */
export function patient(service: Service, pause: () => Promise<void>): Service {
  const failures: Fetched[] = [];
  let asked = false;
  return {
    ...service,
    ask: async (ask) => {
      const fresh = ask.anew !== true && (await service.shelved(ask.url, ask.now))?.fresh === true;
      const down = failures[FAILURES_PER_FETCH - 1];
      if (!fresh && down !== undefined) return down;
      if (!fresh && asked) await pause();
      const fetched = await service.ask(ask);
      asked ||= fetched.tries > 0;
      if (!fetched.ok && fetched.failure.scope === 'attempt' && fetched.failure.error.retryable) {
        failures.push(fetched);
      }
      return fetched;
    },
  };
}
