/** The documentation, held against the program: what it shows must work, what there is must be in it. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { runCli } from '../src/cli/cli.ts';
import type { Io } from '../src/cli/io.ts';
import { configJsonSchema, type SchemaNode } from '../src/config/json-schema.ts';
import { loadConfig } from '../src/config/load.ts';
import { EXIT } from '../src/errors.ts';
import { temporaryDirectory } from './support/temporary.ts';

const PROJECT = fileURLToPath(new URL('..', import.meta.url));
const DOCUMENTS = [
  'README.md',
  'DEVELOPERS.md',
  'deploy/README.md',
  'docs/answers.md',
  'docs/configuration.md',
  'docs/decision.md',
  'docs/decisions.md',
  'docs/errors.md',
  'docs/machines.md',
  'docs/model.md',
  'docs/mutation.md',
  'docs/speed.md',
  'docs/weather-sources.md',
  'docs/winter.md',
];

function read(path: string): string {
  return readFileSync(join(PROJECT, path), 'utf8');
}

/** Texts of the fenced blocks of a language. */
function blocks(markdown: string, language: string): string[] {
  return [...markdown.matchAll(/^```(\w*)\n([\s\S]*?)^```$/gm)]
    .filter(([, found]) => found === language)
    .map(([, , text]) => text ?? '');
}

/** First cells of all tables: each is one thing in backticks. */
function tableKeys(markdown: string): string[] {
  return [...markdown.matchAll(/^\| `([^`]+)`/gm)].map(([, key]) => key ?? '');
}

/** Cells of the row that begins with the key. */
function rowOf(markdown: string, key: string): string {
  return markdown.split('\n').find((line) => line.startsWith(`| \`${key}\``)) ?? '';
}

interface Key {
  readonly path: string;
  readonly fallback: unknown;
}

function keysOf(node: SchemaNode, path: string): Key[] {
  const own = Object.entries(node.properties ?? {}).flatMap(([name, child]) => {
    const childPath = path === '' ? name : `${path}.${name}`;
    return [
      { path: childPath, fallback: (child as { default?: unknown }).default },
      ...keysOf(child, childPath),
    ];
  });
  const branches = [...(node.anyOf ?? []), ...(node.oneOf ?? [])].flatMap((branch) => keysOf(branch, path));
  const items = node.items ? keysOf(node.items, `${path}[]`) : [];
  const others =
    typeof node.additionalProperties === 'object' ? keysOf(node.additionalProperties, `${path}.*`) : [];
  return [...own, ...branches, ...items, ...others];
}

function errorCodes(): string[] {
  const source = read('src/errors.ts');
  const unions = [...source.matchAll(/type \w+ErrorCode =([^;]+);/g)].map(([, union]) => union ?? '');
  const singles = [...source.matchAll(/extends DrainbyError<('[\w-]+')>/g)].map(([, code]) => code ?? '');
  return [...unions, ...singles].flatMap((text) =>
    [...text.matchAll(/'([\w-]+)'/g)].map(([, code]) => code ?? ''),
  );
}

async function help(...args: string[]): Promise<string> {
  let text = '';
  const io: Io = {
    env: {},
    write: (more) => {
      text += more;
    },
    complain: (more) => {
      throw new Error(more);
    },
    now: () => 0,
  };
  expect(await runCli([...args, '--help'], io)).toBe(EXIT.ok);
  return text;
}

async function commands(): Promise<string[]> {
  const [, list = ''] = (await help()).split('Commands:\n');
  return [...list.matchAll(/^ {2}([a-z][a-z-]*)/gm)].map(([, name]) => name ?? '');
}

describe('the README', () => {
  const readme = read('README.md');

  it('names the two commands of a newcomer', () => {
    expect(blocks(readme, 'sh')).toEqual(
      expect.arrayContaining(['npm ci && npm run demo\n', 'npm ci && npm test\n']),
    );
  });

  it('shows a first config of ten lines that loads', () => {
    const [yaml = '', ...more] = blocks(readme, 'yaml');
    expect(more).toEqual([]);
    expect(yaml.trimEnd().split('\n')).toHaveLength(10);
    const file = join(temporaryDirectory(), 'drainby.yaml');
    writeFileSync(file, yaml);
    const config = loadConfig(file);
    expect(config.units.map((unit) => unit.id)).toEqual(['otter']);
    expect(config.people[0]?.channels).toEqual(['email']);
  });

  it('has every command with every option of its own', async () => {
    const names = await commands();
    expect(names.length).toBeGreaterThan(6);
    for (const name of names) {
      const rows = readme.split('\n').filter((line) => line.startsWith(`| \`${name}`));
      expect(rows, `README.md has no row for the command ${name}`).not.toEqual([]);
      if (name === 'help') continue;
      for (const [option] of (await help(name)).matchAll(/--[a-z-]+/g)) {
        if (['--help', '--config', '--now'].includes(option)) continue;
        expect(rows.join('\n'), `README.md, command ${name}`).toContain(option);
      }
    }
  });

  it('has no command that is not there', async () => {
    const names = await commands();
    const table = readme.slice(readme.indexOf('| Command'));
    for (const key of tableKeys(table)) expect(names).toContain(key.split(' ')[0]);
  });

  it('says what every exit code means, as docs/errors.md does', () => {
    const codes = Object.values(EXIT);
    const sentence = /^Exit codes: ([\s\S]*?)\. /m.exec(readme)?.[1] ?? '';
    expect(sentence.split(/\s*·\s*/).map((part) => Number.parseInt(part, 10))).toEqual(codes);
    for (const code of codes)
      expect(read('docs/errors.md')).toMatch(new RegExp(`^\\| ${code} +\\| \\w`, 'm'));
  });

  it('names the weather service, its licence and its limits', () => {
    expect(readme).toContain('https://open-meteo.com/');
    expect(readme).toContain('https://creativecommons.org/licenses/by/4.0/');
    expect(readme).toContain('non-commercial');
  });
});

describe('docs/configuration.md', () => {
  const text = read('docs/configuration.md');
  const keys = keysOf(configJsonSchema(), '');

  it('has a row for every key of the schema', () => {
    const documented = new Set(tableKeys(text));
    expect([...new Set(keys.map((key) => key.path))].filter((path) => !documented.has(path))).toEqual([]);
  });

  it('has no key that is not there', () => {
    const known = new Set(keys.map((key) => key.path));
    expect(tableKeys(text).filter((path) => !known.has(path))).toEqual([]);
  });

  it('gives every default as the schema has it', () => {
    const plain = keys.filter(({ fallback }) => ['string', 'number', 'boolean'].includes(typeof fallback));
    expect(plain.length).toBeGreaterThan(30);
    const wrong = plain.filter(({ path, fallback }) => {
      const shown = rowOf(text, path).split('|').at(-2) ?? '';
      return !shown.includes(`\`${String(fallback)}\``);
    });
    expect(wrong).toEqual([]);
  });
});

describe('docs/errors.md', () => {
  it('has a row for every code, and none that is not there', () => {
    const codes = errorCodes();
    expect(codes.length).toBeGreaterThan(20);
    expect(tableKeys(read('docs/errors.md')).toSorted()).toEqual(codes.toSorted());
  });
});

describe('every document', () => {
  it.each(DOCUMENTS)('%s links only to files that are there', (document) => {
    const links = [...read(document).matchAll(/\]\(([^)#]+)[^)]*\)/g)].map(([, to]) => to ?? '');
    const broken = links.filter(
      (to) => !/^https?:/.test(to) && !existsSync(join(PROJECT, dirname(document), to)),
    );
    expect(broken).toEqual([]);
  });

  it.each(DOCUMENTS)('%s names only scripts that package.json has', (document) => {
    const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> };
    const named = [...read(document).matchAll(/npm run (?:-s )?([\w:]+)/g)].map(([, script]) => script ?? '');
    expect(named.filter((script) => !(script in scripts))).toEqual([]);
  });

  it.each(DOCUMENTS)('%s names only files of the project that are there', (document) => {
    const named = [...read(document).matchAll(/`((?:src|tests|config|docs|deploy)\/[\w./-]+\w)`/g)];
    expect(named.map(([, path]) => path ?? '').filter((path) => !existsSync(join(PROJECT, path)))).toEqual(
      [],
    );
  });
});
