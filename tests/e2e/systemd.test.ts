/** What the daemon tells systemd, through a `systemd-notify` of the test's own that writes down what it is given. */
import { chmodSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { watch } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROUND_DONE, startProgram } from './program.ts';
import { setScene } from './scene.ts';

/** `sd_notify(3)`: assignments, one an argument to systemd-notify. */
async function notifying(env: Readonly<Record<string, string>>) {
  const scene = await setScene();
  const bin = join(scene.directory, 'bin');
  const heard = join(bin, 'heard');
  mkdirSync(bin);
  writeFileSync(heard, '');
  writeFileSync(join(bin, 'systemd-notify'), `#!/bin/sh\necho "$NOTIFY_SOCKET" "$@" >> "${heard}"\n`);
  chmodSync(join(bin, 'systemd-notify'), 0o755);
  const daemon = startProgram(['start', '-c', 'drainby.yaml'], {
    cwd: scene.directory,
    env: { PATH: `${bin}:${process.env['PATH'] ?? ''}`, ...env },
  });
  const until = async (text: string): Promise<string> => {
    const changes = watch(bin, { signal: AbortSignal.timeout(20_000) });
    for await (const _ of changes) {
      const all = readFileSync(heard, 'utf8');
      if (all.includes(text)) return all;
    }
    throw new Error(`"${text}" was never told.`);
  };
  return { daemon, until, heard: () => readFileSync(heard, 'utf8') };
}

describe('the daemon under systemd', () => {
  it('says that it is up, that it is alive, and that it stops', async () => {
    const { daemon, until, heard } = await notifying({ NOTIFY_SOCKET: '/run/x', WATCHDOG_USEC: '400000' });
    const alive = await until('WATCHDOG=1');
    expect(alive.split('\n')[0]).toBe('/run/x -- READY=1 STATUS=Watching.');
    await daemon.logged(ROUND_DONE);
    daemon.kill('SIGTERM');
    expect((await daemon.ended).exit).toBe(0);
    expect(heard()).toContain('STOPPING=1');
  });

  it('says nothing where systemd does not ask, and no more than it asks for', async () => {
    const silent = await notifying({});
    await silent.daemon.logged(ROUND_DONE);
    silent.daemon.kill('SIGTERM');
    await silent.daemon.ended;
    expect(silent.heard()).toBe('');
    const other = await notifying({ NOTIFY_SOCKET: '/run/x', WATCHDOG_USEC: '400000', WATCHDOG_PID: '1' });
    await other.daemon.logged(ROUND_DONE);
    other.daemon.kill('SIGTERM');
    await other.daemon.ended;
    expect(other.heard()).toContain('READY=1');
    expect(other.heard()).not.toContain('WATCHDOG');
  });
});
