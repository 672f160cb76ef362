/** Rounds between those of the schedule: how often, and what they ask of the weather service. */
import { expect, it, onTestFinished } from 'vitest';
import { openMachinery } from '../../src/app/compose.ts';
import { Pulse } from '../../src/app/pulse.ts';
import { Rounds } from '../../src/app/rounds.ts';
import { recordingLog } from '../support/outbox.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';
import { startWeatherServer } from '../support/weather-server.ts';

const NEVER = '0 0 1 1 *';

/** A daemon's rounds with a real database and a weather service that is asked at every one of them. */
async function startRounds() {
  const weather = await startWeatherServer();
  onTestFinished(() => weather.close());
  const sources = [{ id: 'meteo', kind: 'open-meteo', baseUrl: weather.url }];
  const config = { ...scenario(configOf({ units: [probeUnit()], sources }), {}), schedule: NEVER };
  const clock = { ahead: 0 };
  const now = (): number => Math.floor(Date.now() / 1000) + clock.ahead;
  const stop = new AbortController();
  const log = recordingLog();
  const surroundings = { env: {}, write: () => undefined };
  const machinery = await openMachinery(config, { surroundings, now, signal: stop.signal, log });
  let begun = 0;
  let ended: () => void = () => undefined;
  const pulse = new (class extends Pulse {
    override roundBegan(): void {
      begun += 1;
      super.roundBegan();
    }
    override roundEnded(): void {
      super.roundEnded();
      // Only then does the next one begin.
      setImmediate(() => ended());
    }
  })({ now, elapsedMs: () => performance.now() });
  const of = { config, machinery, now, log, pulse, signal: stop.signal };
  const rounds = new Rounds({ ...of, wake: () => undefined, onEnded: () => undefined });
  onTestFinished(async () => {
    stop.abort();
    await rounds.ended();
    await machinery.close();
  });
  const round = (begin: () => void): Promise<void> =>
    new Promise((resolve) => {
      ended = resolve;
      begin();
    });
  return { rounds, round, weather, clock, log, begun: () => begun };
}

it('after an answer one follows at once, from what the service has just said; further ones wait', async () => {
  const { rounds, round, weather, log, begun } = await startRounds();
  await round(() => rounds.start());
  const asked = weather.requests.length;
  expect([begun(), asked > 0]).toEqual([1, true]);
  await round(() => rounds.ask());
  for (let press = 0; press < 24; press++) rounds.ask();
  expect([begun(), weather.requests.length]).toEqual([2, asked]);
  const done = log.lines.filter(({ message }) => message === 'The round is finished and in the database.');
  expect(done.map(({ fields }) => fields)).toMatchObject([{ places: 1 }, { places: 1 }]);
});

it('the service is asked again a quarter of an hour later, and at every round of the schedule', async () => {
  const { rounds, round, weather, clock } = await startRounds();
  await round(() => rounds.start());
  const asked = weather.requests.length;
  clock.ahead = 901;
  await round(() => rounds.ask());
  expect(weather.requests).toHaveLength(2 * asked);
  await round(() => rounds.start());
  expect(weather.requests).toHaveLength(3 * asked);
});

it('an answer that stands in for one that failed is no fresh one', async () => {
  const { rounds, round, weather } = await startRounds();
  await round(() => rounds.start());
  weather.respondWith(() => ({ status: 404, body: 'no' }));
  await round(() => rounds.start());
  const asked = weather.requests.length;
  await round(() => rounds.ask());
  expect(weather.requests.length).toBeGreaterThan(asked);
});
