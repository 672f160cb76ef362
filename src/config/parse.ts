import type { Document } from 'yaml';
import { LineCounter, parseDocument } from 'yaml';
import { ConfigError } from '../errors.ts';
import type { Config } from './config.ts';
import type { Origin } from './origin.ts';
import { deriveConfig } from './derive.ts';
import { withoutLogin } from './found.ts';
import type { Position } from './positions.ts';
import { offsetPosition, positionOf } from './positions.ts';
import type { Problem } from './problem.ts';
import { formatPath, problemsOf, ruleText } from './problem.ts';
import { ruleProblems } from './rules.ts';
import { ConfigSchema } from './schema.ts';

/** Enough for a lot whose hundreds of units share one anchor; far from what could fill the memory. */
const MAX_ALIAS_COUNT = 10_000;

interface Placed extends Position {
  readonly text: string;
}

interface ReadDocument {
  readonly document: Document;
  readonly lines: LineCounter;
  /** What YAML itself objects to. */
  readonly objections: readonly Placed[];
}

/**
 * The config that the text describes. Throws a `ConfigError` with every mistake at once, in the order of the
 * file.
 */
export function parseConfig(text: string, from: Omit<Origin, 'written'>): Config {
  const read = readDocument(text, from.file);
  const fatal = read.document.errors.some((error) => error.code !== 'DUPLICATE_KEY');
  if (fatal) throw invalid(from.file, read.objections);
  const written = valuesOf(read.document, from.file);
  const parsed = ConfigSchema.safeParse(written, { error: ruleText });
  const problems = withoutRepeats(ruleProblems(written), problemsOf(parsed.error?.issues ?? []));
  const placed = problems.map((problem) => place(problem, read));
  if (placed.length + read.objections.length > 0) throw invalid(from.file, [...read.objections, ...placed]);
  if (!parsed.success) throw invalid(from.file, [wholeFile('is not valid')]);
  return deriveConfig(parsed.data, { ...from, written });
}

function readDocument(text: string, file: string): ReadDocument {
  const lines = new LineCounter();
  try {
    const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, version: '1.2' });
    const objections = [...document.errors, ...document.warnings].map((error) => ({
      ...offsetPosition(error.pos[0], lines),
      text: `(file): ${yamlObjection(error.code, error.message)}`,
    }));
    return { document, lines, objections };
  } catch (error) {
    // Only absurd nesting brings the YAML parser here, by exhausting the stack.
    throw invalid(file, [wholeFile(`must be YAML of a sensible depth, found: ${messageOf(error)}`)]);
  }
}

function yamlObjection(code: string, message: string): string {
  if (code === 'DUPLICATE_KEY') return 'each key may stand once in its map, found it again here';
  if (code === 'MULTIPLE_DOCS') return 'must be one YAML document, found a second one after "---"';
  return `must be valid YAML, found: ${quoted(message.split('\n')[0] ?? '')}`;
}

/** What the parser says may hold a piece of the file. */
function quoted(message: string): string {
  return message.split(' ').map(withoutLogin).join(' ');
}

function valuesOf(document: Document, file: string): unknown {
  try {
    const written: unknown = document.toJS({ maxAliasCount: MAX_ALIAS_COUNT });
    if (written !== null && written !== undefined) return written;
  } catch (error) {
    throw invalid(file, [
      wholeFile(`aliases must lead to an anchor and stay few, found: ${quoted(messageOf(error))}`),
    ]);
  }
  throw invalid(file, [wholeFile('must hold places, units, people and delivery, found an empty file')]);
}

/** Where a rule and the schema object to the same value, the rule knows more. */
function withoutRepeats(rules: readonly Problem[], schema: readonly Problem[]): readonly Problem[] {
  const ruled = new Set(rules.map((problem) => formatPath(problem.path)));
  return [...rules, ...schema.filter((problem) => !ruled.has(formatPath(problem.path)))];
}

function place(problem: Problem, { document, lines }: ReadDocument): Placed {
  const position = positionOf(problem, document, lines);
  return { ...position, text: `${formatPath(problem.path)}: ${problem.text}` };
}

function wholeFile(text: string): Placed {
  return { line: 1, column: 1, text: `(file): ${text}` };
}

function invalid(file: string, mistakes: readonly Placed[]): ConfigError {
  const inOrder = mistakes.toSorted((a, b) => a.line - b.line || a.column - b.column);
  return new ConfigError(
    'config-invalid',
    inOrder.map(({ line, column, text }) => `${file}:${line}:${column} ${text}`),
    { hint: 'Correct the file, then see what it means with: drainby config FILE' },
  );
}

function messageOf(error: unknown): string {
  return error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error);
}
