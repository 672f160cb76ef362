import { createHash } from 'node:crypto';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { run } from './program.ts';
import { ANN, BLUE, CREEK, longLease, setScene } from './scene.ts';

it('a call that is wrong ends with 2, and with words on stderr only', async () => {
  const scene = await setScene();
  const calls = [
    [],
    ['check', '-c', 'drainby.yaml', '--dry'],
    ['check', '-c', 'drainby.yaml', '--unit', 'green'],
    ['start', '-c', 'drainby.yaml', '--now', '2026-11-25T18:00:00Z'],
    ['mark', '-c', 'drainby.yaml', 'blue', 'frozen'],
  ];
  const ended = await Promise.all(calls.map((args) => run(args, { cwd: scene.directory })));
  expect(ended.map(({ exit }) => exit)).toEqual(calls.map(() => 2));
  for (const { stdout, stderr } of ended) {
    expect(stdout).toBe('');
    expect(stderr).toMatch(/\w/);
    expect(stderr).not.toContain('bug');
  }
  expect(readdirSync(scene.directory)).toEqual(['drainby.yaml']);
});

it('a config with several mistakes ends every command with 2, and says each of them with its place', async () => {
  const scene = await setScene({
    config: {
      places: [{ ...CREEK, latitude: -106.05, longitude: 39.61 }],
      units: [{ ...BLUE, label: 'Blue\r\nBcc: eve@example.org', hoose: 'none' }],
      people: [{ ...ANN, temperature: 'K' }],
    },
  });
  const ended = await Promise.all([
    scene.run('start'),
    scene.run('check', '--json'),
    scene.run('mark', 'blue', 'drained'),
  ]);
  for (const { exit, stdout, stderr } of ended) {
    expect([exit, stdout]).toEqual([2, '']);
    for (const path of ['places[0].latitude', 'units[0].label', 'units[0].hoose', 'people[0].temperature']) {
      expect(stderr).toMatch(new RegExp(`drainby\\.yaml:\\d+:\\d+ ${path.replaceAll(/[[\].]/g, '\\$&')}: `));
    }
  }
  expect(readdirSync(scene.directory)).toEqual(['drainby.yaml']);
});

describe('a look', () => {
  it('gives the same answer to the byte at the same instant, and creates nothing', async () => {
    const scene = await setScene();
    const look = ['--json', '--now', new Date().toISOString()];
    const [first, second] = await Promise.all([scene.run('check', ...look), scene.run('check', ...look)]);
    expect([first.exit, first.stderr]).toEqual([0, '']);
    expect(first.stdout).toMatch(/^\{[^]*"drainby\.check\/1"[^]*\}\n$/);
    expect(second.stdout).toBe(first.stdout);
    expect(readdirSync(scene.directory)).toEqual(['drainby.yaml']);
  });

  it(
    'beside a store at rest, one in use and one whose daemon was killed changes nothing',
    { timeout: 60_000 },
    async () => {
      const scene = await setScene({ smtp: { script: ['stall-data'] } });
      scene.configure(longLease(scene.smtp.port));
      const daemon = scene.start();
      await scene.smtp.stalled();
      const looked = async (...look: readonly [string, ...string[]]): Promise<void> => {
        const before = contentOf(scene.directory);
        const { exit, stderr } = await scene.run(...look);
        expect([exit, stderr]).toEqual([0, '']);
        expect(contentOf(scene.directory)).toEqual(before);
      };
      await looked('check');
      daemon.kill('SIGKILL');
      await daemon.ended;
      await looked('explain', 'blue');
      expect((await scene.run('mark', 'blue', 'in-use')).exit).toBe(0);
      expect([...contentOf(scene.directory).keys()]).toEqual(['drainby.db', 'drainby.yaml']);
      await looked('check');
    },
  );
});

/** A hash of every file but the index of the log in memory, in which readers take their places. */
function contentOf(directory: string): ReadonlyMap<string, string> {
  const hash = (name: string): string =>
    createHash('sha256')
      .update(readFileSync(join(directory, name)))
      .digest('hex');
  const names = readdirSync(directory).toSorted();
  return new Map(names.map((name) => [name, name.endsWith('-shm') ? '' : hash(name)]));
}
