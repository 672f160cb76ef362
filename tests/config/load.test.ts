import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { describeConfig } from '../../src/config/describe.ts';
import { formatDescription } from '../../src/config/description-text.ts';
import { loadConfig } from '../../src/config/load.ts';
import { ConfigError } from '../../src/errors.ts';
import { SMALL } from './sample.ts';

const EXAMPLE = fileURLToPath(new URL('../../config/example.yaml', import.meta.url));

let folder = '';

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'drainby-config-'));
});

afterAll(() => {
  rmSync(folder, { recursive: true });
});

function written(name: string, content: string | Buffer): string {
  const file = join(folder, name);
  writeFileSync(file, content);
  return file;
}

function errorOf(file: string): ConfigError {
  try {
    loadConfig(file);
  } catch (error) {
    if (error instanceof ConfigError) return error;
    throw error;
  }
  throw new Error('It was accepted.');
}

describe('a config file on disk', () => {
  it('has its paths beside itself', () => {
    mkdirSync(join(folder, 'sub'));
    const config = loadConfig(written('sub/small.yaml', SMALL));
    expect(config.store.path).toBe(join(folder, 'sub', 'drainby.db'));
  });

  it('may begin with a byte order mark and have the line ends of another system', () => {
    expect(loadConfig(written('bom.yaml', `\uFEFF${SMALL.replaceAll('\n', '\r\n')}`)).units).toHaveLength(1);
  });

  it('is named in its mistakes as the caller named it', () => {
    const file = written('bad.yaml', SMALL.replace('creek', 'Creek'));
    const error = errorOf(file);
    expect(error.code).toBe('config-invalid');
    expect(error.problems[0]?.startsWith(`${file}:2:9 places[0].id: `)).toBe(true);
    expect(error.message).toBe(error.problems.join('\n'));
  });

  it.each([
    ['none.yaml', 'there is no such file'],
    ['.', 'it is a directory'],
  ])('that cannot be read says why: %s', (name, why) => {
    const error = errorOf(join(folder, name));
    expect(error.code).toBe('config-unreadable');
    expect(error.message).toBe(`${join(folder, name)}: the config cannot be read: ${why}`);
  });

  it('that is not UTF-8 says so', () => {
    expect(errorOf(written('latin.yaml', Buffer.from([0x23, 0xe9, 0x0a]))).message).toContain(
      'it is not UTF-8 text',
    );
  });
});

describe('the annotated example', () => {
  const config = loadConfig(EXAMPLE);
  const text = formatDescription(describeConfig(config), config.display);

  it('is a whole config', () => {
    expect(config.units.map((unit) => unit.id)).toEqual(['otter']);
    expect(config.people[0]?.channels).toEqual(['email']);
  });

  it('is described within the width of a terminal', () => {
    const tooWide = text.split('\n').filter((line) => line.length > 80 && line.trim().includes(' '));
    expect(tooWide).toEqual([]);
    expect(text.endsWith('\n')).toBe(true);
  });

  it('is described with what was given, what was derived and what is default', () => {
    expect(text).toContain('  time zone     America/Denver (from the coordinates)\n');
    expect(text).toContain('  height        7780 ft\n');
    expect(text).toContain('  water, all    in use since 2026-09-12T15:00:00Z\n');
    expect(text).toMatch(/ {2}window +72 h +\(default\)\n/);
    expect(text).toMatch(/ {2}city inlet +bay +inlet +0\.015 +0\.14 practice\n/);
    expect(text).toContain('network.insideOutside: ');
  });
});

describe('the description of a config', () => {
  it('marks what the file gives, and says what it leaves out', () => {
    const file = written('policy.yaml', `${SMALL}policy: { window: 72 h, tolerance: { drain: 0.1 } }\n`);
    const description = describeConfig(loadConfig(file));
    expect(description.policy.filter((setting) => setting.from === 'config')).toEqual([
      { key: 'window', value: 72, unit: 'h', from: 'config' },
      { key: 'tolerance.drain', value: 0.1, unit: '', from: 'config' },
    ]);
    expect(description.places[0]).toMatchObject({ timeZone: 'America/Denver', timeZoneFrom: 'derived' });
    expect(description.units[0]?.leftOut).toContain('belly');
  });

  it('is the same after a trip through JSON', () => {
    const description = describeConfig(loadConfig(EXAMPLE));
    expect(JSON.parse(JSON.stringify(description))).toEqual(description);
  });
});
