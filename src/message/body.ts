import type { Notice } from '../decision/memory.ts';
import type { AnswerCode, Reader, UnitFacts } from './message.ts';

/** What a message is made from; `facts` are plain (see `plain.ts`). */
export interface Told {
  readonly notice: Notice;
  readonly facts: UnitFacts;
  readonly reader: Reader;
}

/** One message before it is text or HTML: both show the same, in the same order. */
export interface Body {
  readonly lead: Lead;
  readonly sections: readonly Section[];
}

/** The first line: what, which unit, and by when. */
export interface Lead {
  readonly headline: string;
  readonly rest: string;
}

export interface Section {
  /** Null: follows the lead directly. */
  readonly heading: string | null;
  readonly blocks: readonly Block[];
}

export type Block =
  | { readonly kind: 'paragraph'; readonly text: string }
  | { readonly kind: 'command'; readonly text: string }
  | { readonly kind: 'rows'; readonly rows: readonly Row[] }
  | { readonly kind: 'steps'; readonly items: readonly string[] }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  /** Where the picture belongs; text has none. */
  | { readonly kind: 'picture' }
  | { readonly kind: 'answers'; readonly items: readonly AnswerLine[] };

/** An answer that can be given by its link. */
export interface AnswerLine {
  readonly code: AnswerCode;
  readonly label: string;
}

export interface Row {
  readonly label: string;
  readonly value: string;
}

export function paragraph(text: string): Block {
  return { kind: 'paragraph', text };
}

/** The same section without its empty lists; null when nothing is left. */
export function section(heading: string | null, blocks: readonly Block[]): Section | null {
  const kept = blocks.filter((block) => !isEmpty(block));
  return kept.length === 0 ? null : { heading, blocks: kept };
}

function isEmpty(block: Block): boolean {
  switch (block.kind) {
    case 'rows':
      return block.rows.length === 0;
    case 'steps':
    case 'list':
    case 'answers':
      return block.items.length === 0;
    case 'picture':
      return false;
    case 'paragraph':
    case 'command':
      return block.text === '';
  }
}

/** It asks for nothing. */
export function isQuiet({ kind }: Notice): boolean {
  return kind === 'all-clear' || kind === 'heads-up';
}

/** It asks for work, by a time or at once. */
export function asksForWorkNow({ kind, action }: Notice): boolean {
  return (
    action !== 'nothing' && (kind === 'act' || kind === 'worse' || kind === 'last-call' || kind === 'late')
  );
}
