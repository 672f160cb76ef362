import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { violations } from './architecture-rules.ts';
import type { Source, Table } from './architecture-rules.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** Folder by folder, along the pipeline: what it may import. */
const TABLE: Table = {
  errors: { pure: true },
  quantity: { from: 'errors', pure: true },
  weather: { from: 'quantity errors', packages: 'suncalc', pure: true },
  model: { from: 'quantity weather errors', packages: 'ml-matrix', pure: true },
  verify: { from: 'quantity weather model errors', pure: true },
  decision: { from: 'quantity weather model', packages: 'suncalc luxon', pure: true },
  message: { from: 'quantity weather', words: 'decision model', packages: 'd3-scale d3-shape', pure: true },
  config: {
    from: 'quantity errors model',
    words: 'decision delivery',
    packages: 'zod yaml @photostructure/tz-lookup',
    node: true,
  },
  broker: { packages: 'mqtt', node: true },
  forecast: { from: 'quantity weather errors', packages: 'undici zod', node: true, pure: /parse\.ts$/ },
  readings: { from: 'quantity weather errors broker', packages: 'mqtt zod', node: true, pure: /parse\.ts$/ },
  web: {
    from: 'quantity errors message',
    words: 'weather',
    packages: 'hono @hono/node-server zod',
    node: true,
    pure: /page\.ts$/,
  },
  delivery: {
    from: 'quantity errors broker',
    words: 'decision message config',
    packages: 'nodemailer undici mqtt zod ical-generator @resvg/resvg-js',
    node: true,
  },
  store: {
    from: 'quantity errors',
    words: 'weather model decision message delivery forecast verify',
    packages: 'kysely better-sqlite3',
    node: true,
  },
  outbox: { from: 'quantity errors', words: 'store delivery message', node: true, pure: /schedule\.ts$/ },
  app: {
    from: 'quantity errors weather model decision verify message config forecast readings web delivery store outbox',
    packages: 'node-cron pino undici',
    node: true,
  },
  cli: { from: 'app message errors config quantity', packages: 'commander cli-table3', node: true },
  main: { from: 'cli' },
};

const DOCUMENTS = [
  'README.md',
  'DEVELOPERS.md',
  'LICENSE',
  'package.json',
  'package-lock.json',
  'tsconfig.json',
];
const FOLDERS = ['src', 'config', 'tests', 'deploy', 'docs'];
const NOT_IN_GIT = ['node_modules', 'dist', 'coverage'];

describe('the project', () => {
  it('keeps its folders, and the arrows between them, as the table says', () => {
    expect(violations(readTree(`${ROOT}src/`), TABLE)).toEqual([]);
  });

  it('has nothing at its top level but what a newcomer expects there', () => {
    const visible = readdirSync(ROOT).filter((name) => !name.startsWith('.') && !NOT_IN_GIT.includes(name));
    expect(visible.toSorted()).toEqual([...DOCUMENTS, ...FOLDERS].toSorted());
  });
});

function readTree(folder: string): Source[] {
  const entries = readdirSync(folder, { recursive: true, encoding: 'utf8' });
  return entries
    .filter((path) => path.endsWith('.ts'))
    .map((path) => ({ path, text: readFileSync(folder + path, 'utf8') }));
}

const LONG = `function f() {\n${'x();\n'.repeat(399)}}`;

/** What must be said of a made-up file, and the file: `path | text`. Each rule at least once. */
const BROKEN: readonly (readonly [found: string, file: string])[] = [
  ['is in a folder that the table does not know: magic', 'magic/wand.ts | const a = 1;'],
  ['may not import from app: ../app/b.ts', `model/a.ts | import { b } from '../app/b.ts'; const a = b;`],
  ['may not import from cli: ../cli/b.ts', `app/a.ts | type A = import('../cli/b.ts').B;`],
  [
    'may not import from model: ../model/b.ts',
    `weather/a.ts | import type { B } from '../model/b.ts'; type A = B;`,
  ],
  [
    'may import only types and constants from decision: ../decision/b.ts',
    `store/a.ts | import { decide } from '../decision/b.ts'; const a = decide;`,
  ],
  [
    'may import only types and constants from model: ../model/b.ts',
    `message/a.ts | import * as b from '../model/b.ts'; const a = b;`,
  ],
  [
    'may import only types and constants from store: ../store/b.ts',
    `outbox/a.ts | import '../store/b.ts'; const a = 1;`,
  ],
  ['may not import the package zod', `model/a.ts | import { z } from 'zod/v4'; const a = z;`],
  ['may not import the package @scope/name', `cli/a.ts | export { b } from '@scope/name/sub'; const a = 1;`],
  ['may not import the package fs', `store/a.ts | import fs from 'fs'; const a = fs;`],
  ['may not import node:fs', `model/a.ts | import fs from 'node:fs'; const a = fs;`],
  ['reaches out of src: ../../package.json', `cli/a.ts | import p from '../../package.json'; const a = p;`],
  ['must be pure, but has node:fs', `forecast/x/parse.ts | import fs from 'node:fs'; const a = fs;`],
  ['must be pure, but has async', 'model/a.ts | const f = async () => 1;'],
  ['must be pure, but has await', 'model/a.ts | const a = await b;'],
  ['must be pure, but has import()', `model/a.ts | const f = () => import('./b.ts');`],
  ['must be pure, but has Date.now', 'weather/a.ts | const f = () => Date.now();'],
  ['must be pure, but has new Date()', 'decision/a.ts | const f = () => new Date();'],
  ['must be pure, but has Date()', 'decision/a.ts | const f = () => Date();'],
  ['must be pure, but has Math.random', 'quantity/a.ts | const f = () => Math.random();'],
  ['must be pure, but has process', 'message/a.ts | const f = () => process.env;'],
  ['must be pure, but has console', 'message/a.ts | const f = () => console.log(1);'],
  ['must be pure, but has setTimeout', 'errors.ts | const f = () => setTimeout(g, 1);'],
  ['is a barrel', 'model/index.ts | const a = 1;'],
  ['is a barrel', `model/all.ts | export * from './a.ts'; export { b } from './b.ts';`],
  ['is a barrel', `model/all.ts | import { b } from './b.ts'; export { b };`],
  ['is named for no one thing', 'model/utils/a.ts | const a = 1;'],
  ['keeps types away from what makes them', 'model/types.ts | type A = 1;'],
  ['has 401 lines', `model/a.ts | ${LONG}`],
  ['has module-level state', 'app/a.ts | let a = 1;'],
  ['has module-level state', 'app/a.ts | export let a = 1;'],
  ['does work at import', 'app/a.ts | start();'],
  ['does work at import', 'app/a.ts | for (const a of b) start(a);'],
];

/** What looks like a violation at first sight and is none. */
const SOUND: readonly (readonly [what: string, file: string])[] = [
  [
    'the words of a folder',
    `store/a.ts | import { ACTIONS, type Action } from '../decision/b.ts'; const a: Action = ACTIONS[0];`,
  ],
  [
    'names in comments, texts and properties',
    `model/a.ts | /* process */ const a = 'Date.now' + it.process + { console: 1 }.console;`,
  ],
  ['a date made from an argument', 'model/a.ts | const f = (ms: number) => new Date(ms);'],
  ['a long table of data', `model/a.ts | const A = [\n${'1,\n'.repeat(500)}];`],
  ['work in the entry', `main.ts | import { run } from './cli/run.ts'; process.exitCode = await run();`],
];

describe('the check of the table', () => {
  it.each(BROKEN)('finds a file that %s', (found, file) => {
    const source = made(file);
    expect(violations([source], TABLE)).toEqual([`${source.path} ${found}`]);
  });

  it.each(SOUND)('lets pass %s', (_what, file) => {
    expect(violations([made(file)], TABLE)).toEqual([]);
  });

  it('finds files that import each other, also when only types', () => {
    const a = made(`model/a.ts | import { b } from './b.ts'; const a = b;`);
    const b = made(`model/b.ts | import type { a } from './a.ts'; type B = a;`);
    const user = made(`model/user.ts | import { a } from './a.ts'; const c = a;`);
    expect(violations([a, b, user], TABLE)).toEqual(['import cycle among model/a.ts, model/b.ts']);
  });

  it('finds folders that import each other through different files', () => {
    const a = made(`config/a.ts | import type { B } from '../delivery/b.ts'; type A = B;`);
    const c = made(`delivery/c.ts | import type { D } from '../config/d.ts'; type C = D;`);
    expect(violations([a, c], TABLE)).toEqual(['import cycle among config, delivery']);
  });
});

function made(file: string): Source {
  const [path, text] = file.split(' | ', 2) as [string, string];
  return { path, text };
}
