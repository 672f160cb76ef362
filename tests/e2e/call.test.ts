import { createHash } from 'node:crypto';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { run } from './program.ts';
import { ANN, BLUE, CREEK, longLease, setScene } from './scene.ts';

describe('a call that is wrong', () => {
  it.each([
    ['no command', []],
    ['an unknown command', ['watch']],
    ['an unknown option', ['check', '-c', 'drainby.yaml', '--dry']],
    ['a missing config option', ['check']],
    ['a config file that is not there', ['check', '-c', 'other.yaml']],
    ['an instant that is none', ['check', '-c', 'drainby.yaml', '--now', 'tomorrow']],
    ['a clock for the daemon', ['start', '-c', 'drainby.yaml', '--now', '2026-11-25T18:00:00Z']],
    ['an unknown unit', ['check', '-c', 'drainby.yaml', '--unit', 'green']],
    ['an unknown person', ['send-test', '-c', 'drainby.yaml', 'bob']],
    ['an unknown state', ['mark', '-c', 'drainby.yaml', 'blue', 'frozen']],
  ])('ends with 2 and words on stderr only: %s', async (_what, args) => {
    const scene = await setScene();
    const { exit, stdout, stderr } = await run(args, { cwd: scene.directory });
    expect([exit, stdout]).toEqual([2, '']);
    expect(stderr).not.toBe('');
    expect(stderr).not.toContain('bug');
    expect(readdirSync(scene.directory)).toEqual(['drainby.yaml']);
  });
});

it('a config with several mistakes ends every command with 2, and says each of them with its place', async () => {
  const scene = await setScene({
    config: {
      places: [{ ...CREEK, latitude: -106.05, longitude: 39.61 }],
      units: [{ ...BLUE, label: 'Blue\r\nBcc: eve@example.org', hoose: 'none' }],
      people: [{ ...ANN, temperature: 'K' }],
    },
  });
  for (const command of [
    ['start'],
    ['start', '--once'],
    ['check', '--json'],
    ['mark', 'blue', 'drained'],
  ] as const) {
    const { exit, stdout, stderr } = await scene.run(...command);
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
    const first = await scene.run('check', ...look);
    const second = await scene.run('check', ...look);
    expect([first.exit, first.stderr]).toEqual([0, '']);
    expect(first.stdout).toMatch(/^\{[^]*"drainby\.check\/1"[^]*\}\n$/);
    expect(second.stdout).toBe(first.stdout);
    expect(readdirSync(scene.directory)).toEqual(['drainby.yaml']);
  });

  it('beside a store at rest, one in use and one whose daemon was killed changes nothing', async () => {
    const scene = await setScene({ smtp: { script: ['stall-data'] } });
    scene.configure(longLease(scene.smtp.port));
    const daemon = scene.start();
    await scene.smtp.stalled();
    const looked = async (): Promise<void> => {
      const before = contentOf(scene.directory);
      const ended = await Promise.all([scene.run('check'), scene.run('explain', 'blue')]);
      expect(ended.map(({ exit, stderr }) => [exit, stderr])).toEqual([
        [0, ''],
        [0, ''],
      ]);
      expect(contentOf(scene.directory)).toEqual(before);
    };
    await looked();
    daemon.kill('SIGKILL');
    await daemon.ended;
    await looked();
    expect((await scene.run('mark', 'blue', 'in-use')).exit).toBe(0);
    expect([...contentOf(scene.directory).keys()]).toEqual(['drainby.db', 'drainby.yaml']);
    await looked();
  });
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
