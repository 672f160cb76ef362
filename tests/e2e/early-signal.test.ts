/** A signal while the program still loads: half a second in which it would have been killed on the spot. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, it } from 'vitest';
import { ROUND_DONE, startProgram, type Program } from './program.ts';
import { setScene, type Scene } from './scene.ts';

/** Signals the process itself at the moment at which it looks for a package that only the commands need. */
function loadHooks(directory: string, signal: NodeJS.Signals): string {
  const hooks = join(directory, 'hooks.mjs');
  writeFileSync(
    hooks,
    `let sent = false;
    export async function resolve(specifier, context, next) {
      if (specifier === 'commander' && !sent) {
        sent = true;
        process.kill(process.pid, '${signal}');
      }
      return next(specifier, context);
    }`,
  );
  const preload = join(directory, 'preload.mjs');
  const url = pathToFileURL(hooks).href;
  writeFileSync(preload, `import { register } from 'node:module'; register('${url}');`);
  return `--no-warnings --import=${pathToFileURL(preload).href}`;
}

function signalled(scene: Scene, signal: NodeJS.Signals, command: string): Program {
  const env = { NODE_OPTIONS: loadHooks(scene.directory, signal) };
  return startProgram([command, '-c', 'drainby.yaml'], { cwd: scene.directory, env });
}

it.each(['SIGTERM', 'SIGINT'] as const)('the daemon ends in order on an early %s', async (signal) => {
  const { exit, stderr } = await signalled(await setScene(), signal, 'start').ended;
  expect(exit).toBe(0);
  expect(stderr).toContain('Stopped.');
});

it('the daemon takes an early SIGHUP as a request to read its config again', async () => {
  const daemon = signalled(await setScene(), 'SIGHUP', 'start');
  await daemon.logged('The config was read again and is in force.');
  await daemon.logged(ROUND_DONE);
  daemon.kill('SIGTERM');
  expect((await daemon.ended).exit).toBe(0);
});

it.each(['SIGTERM', 'SIGINT', 'SIGHUP'] as const)(
  'a look ends on an early %s, and says so',
  async (signal) => {
    const scene = await setScene();
    const { exit, stdout, stderr } = await signalled(scene, signal, 'check').ended;
    expect([exit, stdout, stderr]).toEqual([130, '', 'Interrupted.\n']);
    expect(scene.weather.requests).toEqual([]);
  },
);
