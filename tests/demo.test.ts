/** The bundled scenario, run by the built program in a copy of the project, so that no other run's memory shows. */
import { execFile } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { simpleParser } from 'mailparser';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadConfig } from '../src/config/load.ts';

const PROJECT = fileURLToPath(new URL('..', import.meta.url));
const execute = promisify(execFile);

interface Run {
  readonly stdout: string;
  readonly stderr: string;
  readonly mails: ReadonlyMap<string, Buffer>;
}

let copy = '';
let first: Run;
let second: Run;
let afresh: Run;

/** Rejects with the exit code unless it is 0. */
async function runDemo(cwd: string): Promise<Run> {
  const { stdout, stderr } = await execute(process.execPath, [join(copy, 'dist/main.js'), 'demo'], { cwd });
  const sent = join(copy, '.demo/sent');
  const names = readdirSync(sent).filter((name) => name.endsWith('.eml'));
  return { stdout, stderr, mails: new Map(names.map((name) => [name, readFileSync(join(sent, name))])) };
}

beforeAll(async () => {
  if (!existsSync(join(PROJECT, 'dist/main.js'))) throw new Error('Run "npm run build" before these tests.');
  copy = mkdtempSync(join(tmpdir(), 'drainby-demo-'));
  for (const part of ['dist', 'config', 'package.json'])
    cpSync(join(PROJECT, part), join(copy, part), { recursive: true });
  symlinkSync(join(PROJECT, 'node_modules'), join(copy, 'node_modules'));
  first = await runDemo(copy);
  second = await runDemo(tmpdir());
  rmSync(join(copy, '.demo'), { recursive: true });
  afresh = await runDemo(copy);
}, 180_000);

afterAll(() => {
  if (copy !== '') rmSync(copy, { recursive: true, force: true });
});

describe('the demo', () => {
  it('has a row for each of its units, at three places', () => {
    const { places, units } = loadConfig(join(PROJECT, 'config/demo/drainby.yaml'));
    expect(places).toHaveLength(3);
    expect(units.length).toBeGreaterThanOrEqual(6);
    for (const { label } of units) expect(first.stdout).toContain(`│ ${label} `);
  });

  it('prints every action, the text of one message and where the mails are', () => {
    expect(first.stderr).toBe('');
    for (const words of ['hose off and', '│ drain ', '│ winterize ', '│ nothing '])
      expect(first.stdout).toContain(words);
    expect(first.stdout).toMatch(/^To: .+ <\S+@example\.org>\nSubject: Hose off and heat on for /m);
    expect(first.stdout).toMatch(/^Steps:\n\n 1\. /m);
    expect(first.stdout).toContain(`${first.mails.size} messages were sent`);
    expect(first.stdout).toContain('.demo/sent/*.eml');
  });

  it('fits into 80 columns', () => {
    const lines = first.stdout.split('\n');
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    expect(lines.filter((line) => line.startsWith('┌')).map((line) => line.length)).toEqual([80]);
  });

  it('is what the README shows of it', () => {
    const readme = readFileSync(join(PROJECT, 'README.md'), 'utf8');
    const excerpt = /^```text\n([\s\S]*?)^```$/m.exec(readme)?.[1]?.split('\n') ?? [];
    expect(excerpt.length).toBeGreaterThan(20);
    const lines = new Set([...first.stdout.split('\n'), '  …']);
    expect(
      excerpt.filter((line) => !lines.has(line)),
      'Copy the lines in README.md again from: npm run demo',
    ).toEqual([]);
  });

  it('writes real mails with text and HTML, to everybody who must act', async () => {
    const mails = await Promise.all([...first.mails.values()].map((mail) => simpleParser(mail)));
    for (const mail of mails) {
      expect(mail.text).toMatch(/start\s+by/i);
      expect(mail.html).toContain('<');
    }
    const readersOf = (kind: string): readonly string[] => {
      const those = mails.filter((mail) => mail.headers.get('x-drainby-kind') === kind);
      const all = those.flatMap((mail) => [mail.to ?? []].flat().flatMap((to) => to.value));
      return [...new Set(all.map(({ address = '' }) => address))].toSorted();
    };
    expect(readersOf('act')).toEqual(['ivy@example.org', 'sol@example.org', 'wren@example.org']);
    // Its cold is not nearly sure, and the work would begin in more than a day.
    expect(readersOf('heads-up')).toEqual(['marlow@example.org']);
  });

  it('says that nothing is new the second time, from any directory, and sends nothing twice', () => {
    expect(second.stderr).toBe('');
    expect(second.stdout).toContain('Nothing is new since the last run');
    expect(second.stdout).not.toContain('Subject:');
    expect([...second.mails.keys()]).toEqual([...first.mails.keys()]);
  });

  it('begins afresh where its memory was removed, with the same answer to the byte', () => {
    expect(afresh.stdout).toBe(first.stdout);
    expect([...afresh.mails.keys()]).toEqual([...first.mails.keys()]);
  });
});
