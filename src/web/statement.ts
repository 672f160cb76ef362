/** What a link says, as the bytes that are signed. */
import { ANSWERS, type AnswerCode } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/** That this person gives this answer of this unit, under this episode. */
export interface Statement {
  readonly unit: string;
  readonly person: string;
  readonly episode: string;
  readonly answer: AnswerCode;
  readonly issued: EpochSeconds;
  /** From then on it says nothing any more. */
  readonly expires: EpochSeconds;
}

/** Of this layout; another one gets another number. */
const VERSION = 1;

/** Never changed, and never used again for another: links live for weeks. */
const NUMBERS: Readonly<Record<AnswerCode, number>> = {
  'drained-well': 1,
  'drained-quickly': 2,
  'winterized-colour': 3,
  'winterized-air-traps': 4,
  'winterized-air': 5,
  winterized: 6,
  'kept-warm': 7,
  'on-my-way': 8,
  'not-mine': 9,
  stop: 10,
  checked: 11,
};

const TIME_BYTES = 6;
const HEAD_BYTES = 2 + 2 * TIME_BYTES;
const LONGEST_TEXT = 255;

/** Version, answer, two times, then each text after its length. @throws RangeError for a text that is too long. */
export function encodeStatement({ unit, person, episode, answer, issued, expires }: Statement): Buffer {
  const head = Buffer.alloc(HEAD_BYTES);
  head.writeUInt8(VERSION, 0);
  head.writeUInt8(NUMBERS[answer], 1);
  head.writeUIntBE(Math.floor(issued), 2, TIME_BYTES);
  head.writeUIntBE(Math.floor(expires), 2 + TIME_BYTES, TIME_BYTES);
  const texts = [unit, person, episode].map((text) => Buffer.from(text, 'utf8'));
  if (texts.some(({ length }) => length > LONGEST_TEXT))
    throw new RangeError(`A link holds texts of ${LONGEST_TEXT} bytes at most.`);
  return Buffer.concat([head, ...texts.flatMap((text) => [Buffer.of(text.length), text])]);
}

/** Null: it was not made by `encodeStatement`. */
export function decodeStatement(bytes: Buffer): Statement | null {
  if (bytes.length < HEAD_BYTES || bytes.readUInt8(0) !== VERSION) return null;
  const answer = ANSWERS.find((code) => NUMBERS[code] === bytes.readUInt8(1));
  const [unit, person, episode, ...more] = textsFrom(bytes.subarray(HEAD_BYTES)) ?? [];
  if (answer === undefined || unit === undefined || person === undefined || episode === undefined)
    return null;
  if (more.length > 0) return null;
  return {
    unit,
    person,
    episode,
    answer,
    issued: bytes.readUIntBE(2, TIME_BYTES),
    expires: bytes.readUIntBE(2 + TIME_BYTES, TIME_BYTES),
  };
}

/** Null: the lengths do not add up. */
function textsFrom(bytes: Buffer): readonly string[] | null {
  const texts: string[] = [];
  let at = 0;
  while (at < bytes.length) {
    const end = at + 1 + bytes.readUInt8(at);
    if (end > bytes.length) return null;
    texts.push(bytes.toString('utf8', at + 1, end));
    at = end;
  }
  return texts;
}
