/**
 * The texts that mutation testing leaves out; every other string is a name, and is mutated.
 *
 * - Wording: what has a space in it, labels and notes. It is for people, and a test that repeats a sentence would
 *   only mirror it.
 * - Words of closed unions: the compiler refuses "" in their place, so that such a mutant is none. The mutation
 *   tester has no checker to see that, since TypeScript 7 has no JavaScript interface.
 */
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

const FOR_PEOPLE = new Set(['label', 'note']);

const wording = {
  shouldIgnore({ node, parent }) {
    const texts = textsOf(node);
    if (texts.length === 0) return undefined;
    if (isForPeople(parent) || texts.some((text) => text.includes(' '))) return 'wording';
    return texts.every((text) => unionWords().has(text)) ? 'the compiler guards it' : undefined;
  },
};

function textsOf(node) {
  if (node.type === 'StringLiteral') return [node.value];
  return node.type === 'TemplateLiteral' ? node.quasis.map(({ value }) => value.raw) : [];
}

function isForPeople(parent) {
  return parent?.type === 'ObjectProperty' && FOR_PEOPLE.has(parent.key.name);
}

/** `'a' | 'b'`, the type of a property of one word, and the array that a union is made from. */
const PLACES = [/'[^'\n]*'(?:\s*\|\s*'[^'\n]*')+/g, /(?:: | = )'[^'\n]*'(?= \}|;)/g, /\[[^\]]*\] as const/g];

let words;

function unionWords() {
  words ??= new Set(['model', 'decision'].flatMap(wordsOf));
  return words;
}

function wordsOf(folder) {
  const path = join('src', folder);
  const sources = readdirSync(path).map((name) => readFileSync(join(path, name), 'utf8'));
  const places = sources.flatMap((source) => PLACES.flatMap((place) => source.match(place) ?? []));
  return places.flatMap((place) => [...place.matchAll(/'([^'\n]*)'/g)].map(([, word]) => word));
}

export const strykerPlugins = [{ kind: 'Ignore', name: 'wording', value: wording }];
