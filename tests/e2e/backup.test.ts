/** Backup of a running daemon's database, and its restore: stop, put in place, start. */
import { copyFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROUND_DONE, run } from './program.ts';
import { inspect, setScene } from './scene.ts';

function callIn(directory: string) {
  return (...args: readonly string[]) => run(args, { cwd: directory });
}

describe('a backup of a running daemon', () => {
  it(
    'restored after a loss has all up to it, and nothing that was sent by then is sent again',
    { timeout: 240_000 },
    async () => {
      const scene = await setScene();
      const call = callIn(scene.directory);
      const daemon = scene.start();
      await daemon.logged(ROUND_DONE);
      await scene.smtp.next();
      await daemon.logged('The message was sent.');
      const backup = join(scene.directory, 'copy.db');
      const done = await call('store', 'backup', 'copy.db', '-c', 'drainby.yaml');
      expect([done.exit, done.stdout]).toEqual([
        0,
        expect.stringMatching(/^Written and whole: copy\.db, \d+ KiB\.\n$/),
      ]);
      expect((await call('store', 'check', '-c', 'drainby.yaml')).stdout).toBe('The database is whole.\n');
      const again = await call('store', 'backup', 'copy.db', '-c', 'drainby.yaml');
      expect([again.exit, again.stderr]).toEqual([5, expect.stringContaining('not written over')]);
      daemon.kill('SIGTERM');
      expect((await daemon.ended).exit).toBe(0);

      for (const end of ['', '-wal', '-shm']) rmSync(`${scene.store}${end}`, { force: true });
      copyFileSync(backup, scene.store);
      const before = inspect(scene.store);
      expect(before).toMatchObject({ outbox: [{ kind: 'act', state: 'sent' }], units: [{ unit: 'blue' }] });
      const restored = scene.start();
      await restored.logged(ROUND_DONE);
      restored.kill('SIGTERM');
      expect((await restored.ended).exit).toBe(0);
      expect(inspect(scene.store).outbox.map(({ kind, state }) => `${kind} ${state}`)).toEqual(['act sent']);
      expect(scene.smtp.messages).toHaveLength(1);
    },
  );
});
