/** Outputs that nobody takes, and files that nobody else may read. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { inspect, setScene, type Scene } from './scene.ts';

const MAIN = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

/** Runs a line of shell in which `drainby` is the program; its exit code and what it says on stderr. */
async function shell(scene: Scene, line: string): Promise<readonly [number | null, string]> {
  const script = `drainby() { "${process.execPath}" "${MAIN}" "$@"; }\n${line}`;
  const child = spawn('bash', ['-o', 'pipefail', '-c', script], {
    cwd: scene.directory,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const [exit] = (await once(child, 'close')) as [number | null];
  return [exit, stderr];
}

describe('an answer', () => {
  it('that cannot be written is said so in words, and the exit code is not that of an answer', async () => {
    const [exit, stderr] = await shell(await setScene(), 'drainby check -c drainby.yaml > /dev/full');
    expect(exit).toBe(2);
    expect(stderr).toMatch(/^Nothing can be written to stdout: .*ENOSPC.*\.\n$/);
  });

  it('whose reader has seen enough ends as it would have ended', async () => {
    const look = 'drainby check -c drainby.yaml --json --fail-on-action';
    expect(await shell(await setScene(), `${look} | true`)).toEqual([10, '']);
  });
});

it('a message for a console that takes nothing waits, and does not count as sent', async () => {
  const scene = await setScene({ config: { delivery: { console: true } } });
  const [exit] = await shell(scene, 'drainby start --once -c drainby.yaml > /dev/full');
  expect(exit).toBe(4);
  expect(inspect(scene.store).outbox).toMatchObject([{ state: 'waiting', attempt: 1 }]);
});

it('a round is written and its mail sent though the log takes nothing', async () => {
  const scene = await setScene();
  const [exit] = await shell(scene, 'drainby start --once -c drainby.yaml 2> /dev/full');
  expect(exit).toBe(0);
  expect(scene.smtp.messages).toHaveLength(1);
});

it('what the program writes is for its own user only, whatever the umask says', async () => {
  const scene = await setScene({ config: { delivery: { file: { directory: './sent/mail' } } } });
  const [exit] = await shell(scene, 'umask 000; drainby start --once -c drainby.yaml');
  expect(exit).toBe(0);
  const sent = join(scene.directory, 'sent/mail');
  const [letter = ''] = readdirSync(sent);
  const files = [scene.store, join(sent, letter)];
  expect([letter, ...files.map(modeOf)]).toEqual([expect.stringMatching(/\.eml$/), '600', '600']);
  expect([join(scene.directory, 'sent'), sent].map(modeOf)).toEqual(['700', '700']);
});

function modeOf(path: string): string {
  return (statSync(path).mode & 0o777).toString(8);
}
