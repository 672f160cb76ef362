/** What a page about an answer shows: texts that are ready to read, and not yet HTML. */
import type { AnswerCode } from '../message/message.ts';

export interface AnswerView {
  readonly title: string;
  /** Label of the unit; null: it is not known which. */
  readonly unit: string | null;
  /** What has just happened, or is wrong; full sentences. */
  readonly notes: readonly { readonly kind: 'done' | 'wrong' | 'plain'; readonly text: string }[];
  readonly rows: readonly { readonly label: string; readonly texts: readonly string[] }[];
  /** Null: there is nothing to press. */
  readonly form: AnswerForm | null;
  /** A question with other answers to choose from; null: none is asked. */
  readonly question: Question | null;
  /** How to say it where there is no link; null: that is no help here. */
  readonly command: string | null;
}

export interface Question {
  readonly text: string;
  readonly answers: readonly { readonly answer: AnswerCode; readonly label: string }[];
}

export interface AnswerForm {
  readonly button: string;
  readonly fields: readonly Field[];
  readonly hidden: Readonly<Record<string, string>>;
}

export type Field =
  | {
      readonly kind: 'choices';
      readonly name: string;
      readonly legend: string;
      readonly hint?: string;
      /** Several may be ticked, or just one. */
      readonly many: boolean;
      readonly options: readonly {
        readonly value: string;
        readonly label: string;
        readonly chosen: boolean;
      }[];
    }
  | {
      readonly kind: 'number' | 'date';
      readonly name: string;
      readonly label: string;
      readonly hint: string;
      readonly value: string;
      readonly required: boolean;
    };
