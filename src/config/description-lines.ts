/** The lines of a description: `  name         text`, at most 80 columns wide. */
import { formatQuantity } from '../quantity/quantity.ts';
import type { Display } from './config.ts';

const WIDTH = 80;
const NAME_WIDTH = 13;

export function lengthText(lengthM: number, display: Display): string {
  return formatQuantity('length', lengthM, display.length);
}

export function listed(heading: string, items: readonly string[]): readonly string[] {
  if (items.length === 0) return [];
  return [`  ${heading}`, ...items.flatMap((item) => hanging(`- ${item}`, 6, 4))];
}

/** `  name         text`, continued under the text. */
export function named(name: string, text: string): readonly string[] {
  return hanging(`  ${name.padEnd(NAME_WIDTH)} ${text}`, NAME_WIDTH + 3, 0);
}

/** Breaks at blanks; a word longer than a line stays whole on a line of its own. */
export function hanging(text: string, indent: number, first: number): readonly string[] {
  const lines: string[] = [];
  let line = ' '.repeat(first) + text;
  while (line.length > WIDTH) {
    const blank = line.lastIndexOf(' ', WIDTH);
    const at = blank > indent ? blank : line.indexOf(' ', WIDTH);
    if (at < 0) break;
    lines.push(line.slice(0, at).trimEnd());
    line = ' '.repeat(indent) + line.slice(at + 1).trimStart();
  }
  return [...lines, line.trimEnd()];
}
