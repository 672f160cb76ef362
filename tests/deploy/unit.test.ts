/** The files of `deploy/`, held against the tools that read them, where there are any. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { deriveWeb } from '../../src/config/derive-web.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const DEPLOY = fileURLToPath(new URL('../../deploy/', import.meta.url));
const read = (name: string): string => readFileSync(join(DEPLOY, name), 'utf8');

const hasSystemd = spawnSync('systemd-analyze', ['--version']).status === 0;
if (!hasSystemd)
  process.stderr.write('systemd-analyze is not here: deploy/drainby.service is not verified.\n');

/** The unit with a program that is there: what it starts is not to be verified. */
function unitFile(): string {
  const unit = read('drainby.service').replace(
    /^ExecStart=\S+ \S+/m,
    `ExecStart=${process.execPath} /dev/null`,
  );
  const file = join(temporaryDirectory(), 'drainby.service');
  writeFileSync(file, unit);
  return file;
}

describe('the systemd unit', () => {
  it.skipIf(!hasSystemd)('has nothing that systemd does not understand', () => {
    const { status, stdout, stderr } = spawnSync('systemd-analyze', ['verify', unitFile()], {
      encoding: 'utf8',
    });
    expect([stdout, stderr, status]).toEqual(['', '', 0]);
  });

  it.skipIf(!hasSystemd)('exposes no more than it did when it was written: 1.8 of 10', () => {
    const asked = ['security', '--offline=true', '--threshold=20', unitFile()];
    expect(spawnSync('systemd-analyze', asked, { encoding: 'utf8' }).stdout).toMatch(
      /exposure level[^:]*: 1\.[0-8]/,
    );
  });

  it('runs as a user of its own, is watched, and restarts whatever ended it', () => {
    const lines = read('drainby.service').split('\n');
    for (const line of [
      'DynamicUser=yes',
      'ProtectSystem=strict',
      'Type=notify',
      'NotifyAccess=all',
      'Restart=always',
    ])
      expect(lines).toContain(line);
    expect(read('drainby.service')).toMatch(/^WatchdogSec=/m);
  });

  it('is run by hand with the same user and directory as by itself', () => {
    const unit = read('drainby.service');
    const own = [...read('drainby').matchAll(/-p (\w+=\S+)/g)].map(([, setting = '']) => setting);
    expect(own.length).toBeGreaterThan(6);
    for (const setting of own) expect(unit.split('\n')).toContain(setting);
  });
});

describe('the container', () => {
  it('copies what is there, is nobody’s root, and is asked whether it is well', () => {
    const text = read('Containerfile');
    const copied = [...text.matchAll(/^COPY (?!--from)(.+) \S+$/gm)].flatMap(([, files = '']) =>
      files.split(' '),
    );
    expect(copied).toContain('src');
    for (const file of copied) expect(existsSync(join(DEPLOY, '..', file)), file).toBe(true);
    expect(text).toMatch(/^USER 1000:1000$/m);
    expect(text).toMatch(/^HEALTHCHECK/m);
  });

  it('and its relay can write nothing but state and have no privileges', () => {
    const { services } = parse(read('compose.yaml')) as { services: Record<string, Record<string, unknown>> };
    expect(Object.keys(services)).toEqual(['drainby', 'relay']);
    for (const service of Object.values(services))
      expect(service).toMatchObject({
        read_only: true,
        cap_drop: ['ALL'],
        security_opt: ['no-new-privileges:true'],
      });
  });

  it('has a relay, which asks for no password, that only drainby shares a network with', () => {
    const { services, networks } = parse(read('compose.yaml')) as {
      services: Record<string, { networks: string[]; ports?: string[] }>;
      networks: Record<string, { internal?: boolean } | null>;
    };
    const shared = services['relay']?.networks.filter((name) => services['drainby']?.networks.includes(name));
    expect(shared).toEqual(['mail']);
    expect(networks['mail']).toEqual({ internal: true });
    // It still has a way out to the mail server.
    expect(services['relay']?.networks.some((name) => networks[name]?.internal !== true)).toBe(true);
    expect(services['relay']?.ports).toBeUndefined();
  });

  it('is asked whether it is well with a config that hands no reader a link to their own device', () => {
    const listen = /Needs `web: \{ listen: "([^"]+)" \}`/.exec(read('Containerfile'))?.[1] ?? '';
    expect(read('Containerfile')).toContain(`fetch('http://${listen}/health')`);
    for (const file of ['compose.yaml', 'README.md']) expect(read(file)).toContain(`listen: "${listen}"`);
    expect(deriveWeb({ listen })).toEqual({ listen, publicUrl: null });
  });

  it('has scripts that a shell can read', () => {
    for (const script of ['drainby', 'relay.sh']) {
      const { status, stderr } = spawnSync('sh', ['-n', join(DEPLOY, script)], { encoding: 'utf8' });
      expect([stderr, status]).toEqual(['', 0]);
    }
  });
});
