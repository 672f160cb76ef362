const LONGEST_SHOWN = 60;

/** What stood in the file, short enough for a message and on one line. */
export function shown(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object') return 'a map';
  const told = typeof value === 'string' ? withoutLogin(value) : value;
  const text = typeof told === 'number' ? String(told) : visible(JSON.stringify(told));
  return text.length > LONGEST_SHOWN ? `${text.slice(0, LONGEST_SHOWN)}…` : text;
}

/**
 * An address may hold a user and a password before its "@" (RFC 3986, 3.2.1), also one that is written wrong. An
 * e-mail address has no colon there.
 */
export function withoutLogin(text: string): string {
  const at = text.lastIndexOf('@');
  const scheme = /^\s*[a-z][a-z\d+.-]*:[/\\]+/iu.exec(text)?.[0] ?? '';
  const isAddress = at >= 0 && (scheme !== '' || /^[^\s@]*:\S*@/u.test(text));
  return isAddress ? `${scheme}…${text.slice(at)}` : text;
}

/** What shows nothing, or turns the direction of writing, as its number. */
function visible(text: string): string {
  return text.replaceAll(
    /[\p{Cf}\u2028\u2029]/gu,
    (sign) => `\\u{${(sign.codePointAt(0) ?? 0).toString(16)}}`,
  );
}

/** `a, b or c`. */
export function oneOf(values: readonly unknown[]): string {
  const words = values.map(String);
  const last = words.at(-1) ?? '';
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} or ${last}`;
}

/** `; did you mean "open"?`, or nothing when no candidate is close. */
export function didYouMean(word: string, candidates: readonly string[]): string {
  const near = nearest(word, candidates);
  return near === null ? '' : `; did you mean "${near}"?`;
}

/** The candidate within a third of its letters in edits (three at most), or null. */
function nearest(word: string, candidates: readonly string[]): string | null {
  if (word.length > LONGEST_SHOWN) return null;
  let best: string | null = null;
  let bestDistance = Infinity;
  for (const candidate of candidates) {
    const distance = editDistance(word.toLowerCase(), candidate.toLowerCase());
    const allowed = Math.min(3, Math.ceil(candidate.length / 3));
    if (distance <= allowed && distance < bestDistance) [best, bestDistance] = [candidate, distance];
  }
  return best;
}

/** Insertions, deletions and replacements between two words (Levenshtein 1966). */
function editDistance(from: string, to: string): number {
  let row = Array.from({ length: to.length + 1 }, (_, index) => index);
  for (let i = 1; i <= from.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= to.length; j += 1) {
      const replaced = (row[j - 1] ?? 0) + (from[i - 1] === to[j - 1] ? 0 : 1);
      next.push(Math.min(replaced, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row.at(-1) ?? 0;
}
