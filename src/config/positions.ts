import type { Document, LineCounter, Node } from 'yaml';
import { isAlias, isMap, isNode, isScalar, isSeq } from 'yaml';
import type { Problem } from './problem.ts';

export interface Position {
  readonly line: number;
  readonly column: number;
}

interface Place {
  readonly key: Node | null;
  readonly value: Node | null;
}

/** Where a problem stands in the text. What is missing stands where the map that lacks it begins. */
export function positionOf(problem: Problem, document: Document, lines: LineCounter): Position {
  let here: Place = { key: null, value: nodeOf(document.contents) };
  for (const step of problem.path) {
    const next = childOf(resolved(here.value, document), step);
    if (next === null) return nodePosition(here.value ?? here.key, lines);
    here = next;
  }
  const node = problem.at === 'key' ? (here.key ?? here.value) : (here.value ?? here.key);
  return nodePosition(node, lines);
}

export function offsetPosition(offset: number, lines: LineCounter): Position {
  const { line, col } = lines.linePos(offset);
  return { line: Math.max(1, line), column: Math.max(1, col) };
}

function nodePosition(node: Node | null, lines: LineCounter): Position {
  return offsetPosition(node?.range?.[0] ?? 0, lines);
}

function nodeOf(value: unknown): Node | null {
  return isNode(value) ? value : null;
}

/** What an alias stands for: a mistake in it is corrected where the anchor is. */
function resolved(node: Node | null, document: Document): Node | null {
  return isAlias(node) ? nodeOf(node.resolve(document)) : node;
}

function childOf(node: Node | null, step: PropertyKey): Place | null {
  if (isSeq(node) && typeof step === 'number') {
    return step < node.items.length ? { key: null, value: nodeOf(node.items[step]) } : null;
  }
  if (!isMap(node)) return null;
  const pair = node.items.find((item) => keyText(item.key) === String(step));
  return pair === undefined ? null : { key: nodeOf(pair.key), value: nodeOf(pair.value) };
}

function keyText(key: unknown): string {
  return isScalar(key) ? String(key.value) : String(key);
}
