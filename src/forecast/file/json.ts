import { z } from 'zod';
import { parseInstant, type EpochSeconds } from '../../quantity/instant.ts';
import { checkRange, checkRising, readHour, seriesMistake } from './series.ts';
import type { Quantity, Series, SeriesMember } from './series.ts';

const valuesWire = z.array(z.number().nullable());

/** Weights are relative; sums of more than this would lose the light ones, and at last be infinite. */
const HEAVIEST = 1e9;

/** `drainby.series/1`: null for an unknown value, no other keys. */
const seriesWire = z.strictObject({
  schema: z.literal('drainby.series/1'),
  issuedAt: z.string().nullable(),
  time: z.array(z.string()).min(1),
  members: z
    .array(
      z.strictObject({
        weight: z.number().positive().max(HEAVIEST),
        temperatureC: valuesWire,
        windSpeedMps: valuesWire.optional(),
        cloudPercent: valuesWire.optional(),
      }),
    )
    .min(1),
});

type MemberWire = z.infer<typeof seriesWire>['members'][number];

/** Reads `drainby.series/1`. Throws a `SourceError` at the first mistake. `file` is the name to be shown. */
export function readJson(text: string, file: string): Series {
  const wire = seriesWire.safeParse(parseText(text, file));
  if (!wire.success) {
    const issue = wire.error.issues[0];
    const at = issue?.path.map(String).join('.') ?? '';
    throw seriesMistake(
      { file, at: at === '' ? 'top level' : at },
      issue?.message ?? 'it is not a drainby.series/1',
    );
  }
  const times = readTimes(wire.data.time, file);
  return {
    issuedAt: readIssued(wire.data.issuedAt, file),
    members: wire.data.members.map((member, index) => readMember(member, times, { file, index })),
  };
}

function parseText(text: string, file: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    const message = error instanceof Error ? error.message : 'unknown mistake';
    throw seriesMistake({ file, at: lineOf(message, text) }, `the file must be valid JSON (${message})`);
  }
}

/** The runtime names the place of most mistakes as a position; people count lines. */
function lineOf(message: string, text: string): number {
  const position = /at position (\d+)/.exec(message)?.[1];
  return position === undefined ? 1 : text.slice(0, Number(position)).split('\n').length;
}

function readTimes(texts: readonly string[], file: string): readonly EpochSeconds[] {
  const times: EpochSeconds[] = [];
  texts.forEach((text, index) => {
    const spot = { file, at: `time.${index}` };
    const time = readHour(text, spot);
    checkRising(time, times.at(-1), spot);
    times.push(time);
  });
  return times;
}

function readIssued(text: string | null, file: string): EpochSeconds | null {
  if (text === null) return null;
  const instant = parseInstant(text);
  if (instant !== null) return instant;
  throw seriesMistake({ file, at: 'issuedAt' }, 'must be null or a time such as 2026-11-30T14:20:00Z', text);
}

function readMember(
  wire: MemberWire,
  times: readonly EpochSeconds[],
  { file, index }: { readonly file: string; readonly index: number },
): SeriesMember {
  const read = (quantity: Quantity): readonly number[] | null => {
    const values = wire[quantity];
    if (values === undefined) return null;
    const at = `members.${index}.${quantity}`;
    if (values.length !== times.length) {
      throw seriesMistake(
        { file, at },
        `must have ${times.length} values, one for each time`,
        `${values.length}`,
      );
    }
    return values.map((value, hour) =>
      checkRange(value ?? Number.NaN, quantity, { file, at: `${at}.${hour}` }),
    );
  };
  return {
    weight: wire.weight,
    times,
    temperatureC: read('temperatureC') ?? [],
    windSpeedMps: read('windSpeedMps'),
    cloudPercent: read('cloudPercent'),
  };
}
