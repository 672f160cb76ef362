import type { z } from 'zod';
import { didYouMean, oneOf, shown } from './found.ts';
import { configJsonSchema, knownKeys } from './json-schema.ts';

export type Path = readonly PropertyKey[];

/** One mistake: where in the document, and the rule with what was found. */
export interface Problem {
  readonly path: Path;
  /** Whether the key or its value is at fault. */
  readonly at: 'key' | 'value';
  readonly text: string;
}

const SECRET_KEYS: Readonly<Record<string, string>> = {
  password: 'passwordEnv or its file in passwordFile',
  pass: 'passwordEnv or its file in passwordFile',
  apikey: 'apiKeyEnv',
  key: 'apiKeyEnv',
  token: 'apiKeyEnv',
};

const EXPECTED: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  boolean: 'true or false',
  object: 'a map of keys',
  record: 'a map of keys',
  array: 'a list',
};

/** zod's own issues in our words. Only the messages that a field does not give itself come here. */
export function ruleText(issue: z.core.$ZodRawIssue): string {
  if (issue.input === undefined) return 'is missing; it is required';
  switch (issue.code) {
    case 'invalid_type':
      return wrongType(issue.expected, issue.input);
    case 'invalid_value':
      return wrongValue(issue.values, issue.input);
    case 'invalid_union':
      return wrongBranch(issue);
    default:
      return `is not valid, found ${shown(issue.input)}`;
  }
}

function wrongType(expected: string, input: unknown): string {
  const quotes = expected === 'string' && typeof input !== 'object' ? '; put it in quotes' : '';
  return `expected ${EXPECTED[expected] ?? expected}, found ${shown(input)}${quotes}`;
}

function wrongValue(values: readonly unknown[], input: unknown): string {
  const hint = typeof input === 'string' ? didYouMean(input, values.map(String)) : '';
  return `must be ${oneOf(values)}, found ${shown(input)}${hint}`;
}

/** A map whose `kind` selects what else it holds. */
function wrongBranch(issue: z.core.$ZodRawIssue<z.core.$ZodIssueInvalidUnion>): string {
  const options = (issue as { readonly options?: unknown }).options;
  const key = (issue as { readonly discriminator?: unknown }).discriminator;
  const found = (issue.input as Readonly<Record<string, unknown>>)[String(key)];
  if (found === undefined) return `is missing; it must be ${oneOf(Array.isArray(options) ? options : [])}`;
  return wrongValue(Array.isArray(options) ? options : [], found);
}

/** Every mistake in the issues of a failed parse. */
export function problemsOf(issues: readonly z.core.$ZodIssue[]): readonly Problem[] {
  if (issues.length === 0) return [];
  const schema = configJsonSchema();
  return flatIssues(issues, []).flatMap(({ issue, path }) =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map((key) => unknownKey([...path, key], key, knownKeys(schema, path)))
      : [problemOf(issue, path)],
  );
}

interface Located {
  readonly issue: z.core.$ZodIssue;
  readonly path: Path;
}

/** The issues with their whole paths; of a union those of the branch that was meant. */
function flatIssues(issues: readonly z.core.$ZodIssue[], under: Path): readonly Located[] {
  return issues.flatMap((issue) => {
    const path = [...under, ...issue.path];
    const branches = issue.code === 'invalid_union' ? issue.errors : [];
    const meant = branches.find((branch) => !branch.some(isOfAnotherKind));
    return meant === undefined ? [{ issue, path }] : flatIssues(meant, path);
  });
}

function problemOf(issue: z.core.$ZodIssue, path: Path): Problem {
  if (issue.code !== 'invalid_key') return { path, at: 'value', text: issue.message };
  return { path, at: 'key', text: issue.issues[0]?.message ?? issue.message };
}

/** Whether the value as a whole, not something in it, is what the branch of a union refuses. */
function isOfAnotherKind(issue: z.core.$ZodIssue): boolean {
  return issue.path.length === 0 && (issue.code === 'invalid_type' || issue.code === 'invalid_value');
}

function unknownKey(path: Path, key: string, known: readonly string[]): Problem {
  return { path, at: 'key', text: unknownKeyText(key, known) };
}

function unknownKeyText(key: string, known: readonly string[]): string {
  const secret = Object.hasOwn(SECRET_KEYS, key.toLowerCase()) ? SECRET_KEYS[key.toLowerCase()] : undefined;
  if (secret !== undefined && known.some((one) => secret.startsWith(one))) {
    return `a secret does not belong in this file; name its environment variable in ${secret}`;
  }
  if (known.includes(key)) return 'does not belong to this kind';
  return `unknown key${didYouMean(key, known) || `; known here: ${known.join(', ')}`}`;
}

/** `units[0].heat.set`; the document itself is `(file)`, and an odd key stands in quotes: `units["a b"]`. */
export function formatPath(path: Path): string {
  return path.map(formatStep).join('').replace(/^\./u, '') || '(file)';
}

function formatStep(step: PropertyKey): string {
  if (typeof step === 'number') return `[${step}]`;
  const key = String(step);
  return /^[\w-]{1,60}$/u.test(key) ? `.${key}` : `[${shown(key)}]`;
}
