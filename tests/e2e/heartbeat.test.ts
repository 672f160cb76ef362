/** The heartbeat of a running daemon, and one whose clock is not set. */
import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { runDaemon } from '../../src/app/daemon.ts';
import { loadConfig } from '../../src/config/load.ts';
import { join } from 'node:path';
import { ROUND_DONE, startProgram } from './program.ts';
import { MILD, answers, inspect, setScene } from './scene.ts';

async function watcher() {
  const server = createServer((_, response) => response.end());
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    server.closeAllConnections();
    server.close();
  });
  const beat = once(server, 'request').then(([request]) => (request as { url: string }).url);
  return { beat, url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/secret-of-mine` };
}

describe('a daemon with a heartbeat', () => {
  it('sends it after a round with a forecast for every place, to an address from its environment', async () => {
    const { beat, url } = await watcher();
    const scene = await setScene({ weather: answers(MILD), config: { heartbeat: { urlEnv: 'BEAT' } } });
    const daemon = startProgram(['start', '-c', 'drainby.yaml'], {
      cwd: scene.directory,
      env: { BEAT: url },
    });
    expect(await beat).toBe('/secret-of-mine');
    await daemon.logged('The heartbeat is sent.');
    daemon.kill('SIGTERM');
    const { exit, stderr } = await daemon.ended;
    expect(exit).toBe(0);
    expect(stderr).not.toContain('secret-of-mine');
  });

  it('holds it back while a place has no forecast, and says why', async () => {
    const { url } = await watcher();
    const scene = await setScene({
      weather: () => ({ status: 404, body: 'no' }),
      config: { heartbeat: { url } },
    });
    const daemon = scene.start();
    const { reasons } = await daemon.logged('The heartbeat is held back: not everything is fresh.');
    expect(reasons).toEqual(['The last round had no forecast for 1 place.']);
  });

  it('holds it back while what is known of a unit cannot be read', async () => {
    const { url } = await watcher();
    const scene = await setScene({ weather: answers(MILD), config: { heartbeat: { url } } });
    await scene.run('start', '--once');
    const database = new Database(scene.store);
    database.exec("update unit set memory = '{'");
    database.close();
    const daemon = scene.start();
    const { reasons } = await daemon.logged('The heartbeat is held back: not everything is fresh.');
    expect(reasons).toEqual(['What the database holds of 1 unit is damaged, and no warning can come of it.']);
  });

  it('refuses to start without the address that it was promised', async () => {
    const scene = await setScene({ config: { heartbeat: { urlEnv: 'BEAT' } } });
    const { exit, stderr } = await scene.start().ended;
    expect([exit, stderr]).toEqual([2, expect.stringContaining('BEAT')]);
  });
});

describe('a daemon whose clock is not set', () => {
  it('computes and says nothing until it is, and then as if nothing had been', async () => {
    const scene = await setScene();
    const stop = new AbortController();
    let clock = (): number => 86_400;
    let reload: () => void = () => undefined;
    const heard = new Map<string, () => void>();
    const said = (message: string): Promise<void> =>
      new Promise((resolve) => {
        heard.set(message, resolve);
      });
    const say = (_: object, message: string): void => heard.get(message)?.();
    const read = () => loadConfig(join(scene.directory, 'drainby.yaml'));
    const unset = said('The clock of this machine is not set: nothing is computed or said until it is.');
    const daemon = runDaemon({
      config: read(),
      reread: read,
      surroundings: { env: {}, write: () => undefined },
      now: () => clock(),
      signal: stop.signal,
      onReload: (again) => {
        reload = again;
      },
      log: { info: say, warn: say, error: say },
    });
    await unset;
    expect(inspect(scene.store)).toMatchObject({ rounds: [], outbox: [], units: [] });
    expect(scene.weather.requests).toHaveLength(0);
    clock = () => Math.floor(Date.now() / 1000);
    const done = said(ROUND_DONE);
    reload();
    await done;
    const { mail } = await scene.smtp.next();
    expect(mail.subject).not.toMatch(/forecast/i);
    stop.abort();
    await daemon;
    expect(inspect(scene.store).outbox).toMatchObject([{ kind: 'act' }]);
  });
});
