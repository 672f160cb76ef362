/** A body of readings: one object, or a list of them. */
import { z } from 'zod';
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';

/** A reading as it was posted, before anybody looked whether such a place, unit or zone is there. */
export interface Posted {
  readonly place: string | null;
  readonly unit: string | null;
  readonly zone: string | null;
  readonly temperature: number;
  readonly scale: TemperatureUnit;
  readonly at: EpochSeconds;
}

export interface PostedMistake {
  /** Of the reading in the list, from 0. */
  readonly index: number;
  /** A full sentence. */
  readonly text: string;
}

export interface PostedReadings {
  /** In the order of the body; null: that one cannot be read. */
  readonly posted: readonly (Posted | null)[];
  readonly mistakes: readonly PostedMistake[];
}

const text = (key: string) => z.string({ error: `"${key}" must be a text.` }).min(1, `"${key}" is empty.`);
const number = (key: string) => z.number({ error: `"${key}" must be a number.` });

const KEYS = ['place', 'unit', 'zone', 'temperatureC', 'temperatureF', 'at'] as const;

const AT_RULE = '"at" must be an instant with its offset, such as "2026-11-25T08:30:00Z".';

const ReadingSchema = z
  .strictObject(
    {
      place: text('place').optional(),
      unit: text('unit').optional(),
      zone: text('zone').optional(),
      temperatureC: number('temperatureC').optional(),
      temperatureF: number('temperatureF').optional(),
      at: z
        .string({ error: AT_RULE })
        .transform((at, context) => {
          const instant = parseInstant(at);
          if (instant === null) context.addIssue({ code: 'custom', message: AT_RULE });
          return instant ?? Number.NaN;
        })
        .optional(),
    },
    { error: (issue) => shapeRule(issue) },
  )
  .superRefine((reading, context) => {
    const demand = (holds: boolean, message: string): void => {
      if (!holds) context.addIssue({ code: 'custom', message });
    };
    demand((reading.place === undefined) !== (reading.unit === undefined), 'Name one of "place" and "unit".');
    demand(
      (reading.temperatureC === undefined) !== (reading.temperatureF === undefined),
      'Give one of "temperatureC" and "temperatureF".',
    );
  });

function shapeRule(issue: z.core.$ZodRawIssue): string {
  if (issue.code !== 'unrecognized_keys') return 'A reading must be an object.';
  return `Unknown: ${issue.keys.map((key) => JSON.stringify(key.slice(0, 40))).join(', ')}. A reading may have ${KEYS.join(', ')}.`;
}

/** @param now the time of readings that do not say theirs */
export function readBody(body: unknown, now: EpochSeconds): PostedReadings {
  const items: readonly unknown[] = Array.isArray(body) ? body : [body];
  if (items.length === 0) return { posted: [], mistakes: [{ index: 0, text: 'The list is empty.' }] };
  const read = items.map((item) => ReadingSchema.safeParse(item));
  return {
    posted: read.map((result) => (result.success ? toPosted(result.data, now) : null)),
    mistakes: read.flatMap((result, index) =>
      result.success ? [] : result.error.issues.map(({ message }) => ({ index, text: message })),
    ),
  };
}

function toPosted(reading: z.output<typeof ReadingSchema>, now: EpochSeconds): Posted {
  const { place = null, unit = null, zone = null, temperatureC, temperatureF, at = now } = reading;
  const scale = temperatureF === undefined ? 'C' : 'F';
  return { place, unit, zone, temperature: temperatureF ?? temperatureC ?? Number.NaN, scale, at };
}
