import { posix } from 'node:path';
import { parseAst } from 'vitest/node';

/** A file of `src/`, its path relative to it. */
export interface Source {
  readonly path: string;
  readonly text: string;
}

/** What a folder may do. Names are separated by blanks, so that the table of folders reads as one. */
interface Row {
  /** Folders it may import anything from. */
  readonly from?: string;
  /** Folders it may take only words from: types, and the UPPER_CASE constants that spell them out. */
  readonly words?: string;
  readonly packages?: string;
  /** May import `node:*`. */
  readonly node?: true;
  /** No clock, randomness, waiting or I/O: in every file, or in those the pattern names. */
  readonly pure?: true | RegExp;
}

export type Table = Readonly<Record<string, Row>>;

interface Node {
  readonly type: string;
  readonly [key: string]: unknown;
}

interface Import {
  readonly specifier: string;
  /** Takes nothing but words, in the sense of `Row.words`. */
  readonly wordsOnly: boolean;
}

interface Module {
  readonly path: string;
  /** First part of the path; of a file directly in `src/` its name without the ending. */
  readonly folder: string;
  readonly lines: number;
  readonly body: readonly Node[];
  readonly nodes: readonly Node[];
  readonly imports: readonly Import[];
}

const LONGEST_FILE = 400;
const ENTRY = 'main';
const IMPURE_GLOBALS =
  /^(process|console|fetch|performance|crypto|globalThis|queueMicrotask|set(Timeout|Interval|Immediate))$/;

/** Every way in which the sources break the rules, as sentences; empty when they keep them all. */
export function violations(sources: readonly Source[], table: Table): string[] {
  const modules = sources.map(toModule);
  const ofFiles = modules.flatMap((module) =>
    [
      ...arrowViolations(module, table),
      ...purityViolations(module, table[module.folder]),
      ...shapeViolations(module),
    ].map((what) => `${module.path} ${what}`),
  );
  return [...ofFiles, ...cycles(fileGraph(modules)), ...cycles(folderGraph(modules))];
}

function toModule({ path, text }: Source): Module {
  // oxlint-disable-next-line typescript/no-deprecated -- the test runner hands on no other parser of TypeScript
  const program: unknown = parseAst(text, { lang: 'ts' }, path);
  const nodes = [...walk(program)];
  return {
    path,
    folder: folderOf(path),
    lines: text.trimEnd().split('\n').length,
    body: (nodes[0]?.['body'] ?? []) as readonly Node[],
    nodes,
    imports: nodes.flatMap(toImport),
  };
}

const folderOf = (path: string): string => path.split('/')[0]!.replace(/\.ts$/, '');

/** All nodes of a tree, without the identifiers that only name a property: `it.process` is not `process`. */
function* walk(value: unknown): Generator<Node> {
  if (typeof value !== 'object' || value === null) return;
  const node = value as Node;
  if (typeof node.type === 'string') yield node;
  for (const [key, child] of Object.entries(node)) {
    const isName = (key === 'property' || key === 'key') && node['computed'] !== true;
    if (!isName || (child as Node).type !== 'Identifier') yield* walk(child);
  }
}

function toImport(node: Node): Import[] {
  const source = node['source'] as Node | null | undefined;
  if (!source || typeof source['value'] !== 'string') return [];
  const specifiers = (node['specifiers'] ?? []) as readonly Node[];
  const isType = [node['importKind'], node['exportKind']].includes('type') || node.type === 'TSImportType';
  return [
    { specifier: source['value'], wordsOnly: isType || (specifiers.length > 0 && specifiers.every(isWord)) },
  ];
}

function isWord(specifier: Node): boolean {
  const name = ((specifier['imported'] ?? specifier['local']) as Node)['name'];
  return (
    [specifier['importKind'], specifier['exportKind']].includes('type') ||
    /^[A-Z][A-Z\d_]+$/.test(String(name))
  );
}

function arrowViolations(module: Module, table: Table): string[] {
  const row = table[module.folder];
  if (!row) return [`is in a folder that the table does not know: ${module.folder}`];
  return module.imports.flatMap((one) => {
    if (one.specifier.startsWith('.')) return localViolation(module, row, one);
    if (one.specifier.startsWith('node:')) return row.node ? [] : [`may not import ${one.specifier}`];
    const name = one.specifier.match(/^(@[^/]+\/)?[^/]+/)![0];
    return has(row.packages, name) ? [] : [`may not import the package ${name}`];
  });
}

function localViolation(module: Module, row: Row, one: Import): string[] {
  const target = resolve(module, one);
  const folder = folderOf(target);
  if (target.startsWith('..')) return [`reaches out of src: ${one.specifier}`];
  if (folder === module.folder || has(row.from, folder)) return [];
  if (!has(row.words, folder)) return [`may not import from ${folder}: ${one.specifier}`];
  return one.wordsOnly ? [] : [`may import only types and constants from ${folder}: ${one.specifier}`];
}

const resolve = (module: Module, one: Import): string =>
  posix.join(posix.dirname(module.path), one.specifier);

const has = (names: string | undefined, name: string): boolean => (names ?? '').split(' ').includes(name);

function purityViolations(module: Module, row: Row | undefined): string[] {
  const isPure = row?.pure instanceof RegExp ? row.pure.test(module.path) : row?.pure === true;
  if (!isPure) return [];
  const builtins = module.imports.map((one) => one.specifier).filter((name) => name.startsWith('node:'));
  const found = module.nodes.flatMap((node) => impurity(node) ?? []);
  // Where the row allows no built-in module at all, that has been said already.
  return [...new Set([...(row?.node ? builtins : []), ...found])].map(
    (what) => `must be pure, but has ${what}`,
  );
}

function impurity(node: Node): string | null {
  if (node['async'] === true) return 'async';
  if (node.type === 'AwaitExpression' || node['await'] === true) return 'await';
  if (node.type === 'ImportExpression') return 'import()';
  if (node.type === 'Identifier' && IMPURE_GLOBALS.test(String(node['name']))) return String(node['name']);
  if (node.type === 'MemberExpression') return impureMember(node);
  const callee = (node['callee'] as Node | undefined)?.['name'];
  if (callee !== 'Date') return null;
  if (node.type === 'CallExpression') return 'Date()';
  return (node['arguments'] as readonly Node[]).length === 0 ? 'new Date()' : null;
}

function impureMember(node: Node): string | null {
  const property = node['property'] as Node;
  const name = `${String((node['object'] as Node)['name'])}.${String(property['name'] ?? property['value'])}`;
  return name === 'Date.now' || name === 'Math.random' ? name : null;
}

function shapeViolations(module: Module): string[] {
  const found: string[] = [];
  if (module.path.endsWith('index.ts') || module.body.every(isPassedOn)) found.push('is a barrel');
  if (/(^|\/)(utils?\/|utils?\.ts$)/.test(module.path)) found.push('is named for no one thing');
  if (/(^|\/)types\.ts$/.test(module.path)) found.push('keeps types away from what makes them');
  if (module.lines > LONGEST_FILE && !isDataTable(module)) found.push(`has ${module.lines} lines`);
  if (module.body.some(isState)) found.push('has module-level state');
  if (module.folder !== ENTRY && module.body.some(isWork)) found.push('does work at import');
  return found;
}

const isPassedOn = (statement: Node): boolean =>
  statement.type === 'ImportDeclaration' ||
  statement.type === 'ExportAllDeclaration' ||
  (statement.type === 'ExportNamedDeclaration' && statement['declaration'] === null);

/** Nothing but constants and types: its length is that of its subject. */
const isDataTable = (module: Module): boolean =>
  !module.nodes.some(({ type }) => /Function|Class/.test(type));

function isState(statement: Node): boolean {
  const declaration = (statement['declaration'] ?? statement) as Node;
  return declaration.type === 'VariableDeclaration' && declaration['kind'] !== 'const';
}

const isWork = (statement: Node): boolean =>
  /^(Expression|If|For|ForOf|ForIn|While|Try|Block)Statement$/.test(statement.type);

type Graph = ReadonlyMap<string, ReadonlySet<string>>;

function fileGraph(modules: readonly Module[]): Graph {
  return new Map(modules.map((module) => [module.path, new Set(localTargets(module))]));
}

function folderGraph(modules: readonly Module[]): Graph {
  const graph = new Map<string, Set<string>>();
  for (const module of modules) {
    const reached = graph.get(module.folder) ?? new Set();
    for (const target of localTargets(module)) reached.add(folderOf(target));
    reached.delete(module.folder);
    graph.set(module.folder, reached);
  }
  return graph;
}

const localTargets = (module: Module): string[] =>
  module.imports.filter((one) => one.specifier.startsWith('.')).map((one) => resolve(module, one));

/** Each knot once: what is left when everything that leads nowhere, or is led to from nowhere, is taken off. */
function cycles(graph: Graph): string[] {
  const left = new Map([...graph].map(([from, to]) => [from, new Set(to)]));
  for (let before = -1; before !== left.size;) {
    before = left.size;
    for (const [name, reached] of left) {
      const leadsOn = [...reached].some((to) => left.has(to));
      const isReached = [...left.values()].some((others) => others.has(name));
      if (!leadsOn || !isReached) left.delete(name);
    }
  }
  return left.size === 0 ? [] : [`import cycle among ${[...left.keys()].toSorted().join(', ')}`];
}
