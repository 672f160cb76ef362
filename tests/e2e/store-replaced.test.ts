import { renameSync, rmSync } from 'node:fs';
import { expect, it } from 'vitest';
import { ROUND_DONE } from './program.ts';
import { inspect, setScene } from './scene.ts';

it(
  'a daemon whose database file was taken away says so, and works on the one that is there',
  { timeout: 60_000 },
  async () => {
    const scene = await setScene();
    const daemon = scene.start();
    await daemon.logged(ROUND_DONE);
    renameSync(scene.store, `${scene.store}.old`);
    for (const suffix of ['-wal', '-shm']) rmSync(`${scene.store}${suffix}`, { force: true });
    expect((await scene.run('mark', 'blue', 'drained', '--quality', 'well')).exit).toBe(0);

    expect(await daemon.logged('The database file is gone, or is another one.')).toMatchObject({
      store: scene.store,
    });
    await daemon.logged('The database file was opened anew.');
    await daemon.logged(ROUND_DONE);
    daemon.kill('SIGTERM');
    expect((await daemon.ended).exit).toBe(0);
    const { rounds, units } = inspect(scene.store);
    expect(rounds).toHaveLength(1);
    expect(units).toMatchObject([{ unit: 'blue', water: expect.stringContaining('drained') as string }]);
  },
);
