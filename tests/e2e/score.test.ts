/** `drainby score` as the shell starts it, and the daemon that collects what it scores by. */
import { readFileSync, readdirSync } from 'node:fs';
import { expect, it } from 'vitest';
import type { ScoreAnswer } from '../../src/app/score-answer.ts';
import { iso, seconds } from '../support/instants.ts';
import type { WeatherHandler } from '../support/weather-server.ts';
import { skyService } from '../app/score-setup.ts';
import { ROUND_DONE } from './program.ts';
import { setScene, type Scene } from './scene.ts';

const NOW = seconds('2026-11-25T18:00:00Z');

/** Forecasts are 2 K too warm, however far ahead. */
function tooWarm(now: () => number): WeatherHandler {
  return skyService({ truth: (at) => (Math.floor(at / 86_400) % 2 === 0 ? 9 : -3), errorK: () => 2 }, now);
}

async function withPast(now: () => number, handler = tooWarm(now)): Promise<Scene> {
  const scene = await setScene({ weather: handler });
  const { url } = scene.weather;
  const source = { id: 'meteo', kind: 'open-meteo', baseUrl: url, archiveUrl: url, previousRunsUrl: url };
  scene.configure({
    weather: { horizon: '5 d', sources: [source], errorModel: { kind: 'growing', members: 11 } },
  });
  return scene;
}

it('a place has scores from its first round on, and asking for them changes nothing', async () => {
  const scene = await withPast(() => NOW);
  const at = ['--now', iso(NOW)];
  expect((await scene.run('start', '--once', ...at)).exit).toBe(0);
  const asked = scene.weather.requests.length;
  const before = [readdirSync(scene.directory), readFileSync(scene.store)];
  const { exit, stdout, stderr } = await scene.run('score', 'creek', ...at);
  expect([exit, stderr]).toEqual([0, '']);
  expect(stdout).toContain('meteo (earlier runs) against the archive');
  expect(stdout).toMatch(/│ 1 +│ 30 +│ \+3\.6 °F +│ 3\.6 °F/);
  for (const line of stdout.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
  const again = await scene.run('score', 'creek', '--json', ...at);
  const answer = JSON.parse(again.stdout) as ScoreAnswer;
  expect(answer).toMatchObject({ schema: 'drainby.score/1', asOf: iso(NOW), place: 'creek', damaged: [] });
  expect(answer.forecasts.map(({ leadDay, biasK }) => [leadDay, biasK])).toEqual(
    [1, 2, 3, 4, 5, 6, 7].map((lead) => [lead, 2]),
  );
  expect([readdirSync(scene.directory), readFileSync(scene.store)]).toEqual(before);
  expect(scene.weather.requests).toHaveLength(asked);
});

it('an unknown place is a mistake in the call, and those there are are named', async () => {
  const scene = await setScene();
  const { exit, stdout, stderr } = await scene.run('score', 'crek');
  expect([exit, stdout]).toEqual([2, '']);
  expect(stderr).toMatch(/There is no place "crek" in .*drainby\.yaml\. Its places are: creek\./);
});

it('the daemon collects after its round', async () => {
  const now = (): number => Math.floor(Date.now() / 1000);
  let onRuns: () => void = () => undefined;
  const runsAsked = new Promise<void>((resolve) => {
    onRuns = resolve;
  });
  const service = tooWarm(now);
  const scene = await withPast(now, (request) => {
    // They are asked once the archive's answer is in the database.
    if (request.query.get('hourly')?.includes('_previous_day')) onRuns();
    return service(request);
  });
  const daemon = scene.start();
  await daemon.logged(ROUND_DONE);
  await runsAsked;
  daemon.kill('SIGTERM');
  expect((await daemon.ended).exit).toBe(0);
  const { exit, stdout } = await scene.run('score', 'creek', '--json');
  expect(exit).toBe(0);
  expect((JSON.parse(stdout) as ScoreAnswer).missing.join(' ')).not.toContain('archive');
});
