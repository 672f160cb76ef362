/** What people said of a unit, as the check answer has it, and what of it must be heard. */
import type { Config, UnitConfig } from '../config/config.ts';
import { formatNear } from '../quantity/local-time.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { instant } from './answer-values.ts';
import { isNotTheirs, nobodyIsTold, onTheWayUntil, silentUntil } from './contacts.ts';
import type { UnitEvaluation } from './evaluate.ts';
import type { UnitRecord } from '../store/store.ts';
import { nobodyWords } from './mark-remarks.ts';

type Evaluated = Pick<UnitEvaluation, 'unit' | 'record'> & {
  readonly place: { readonly place: { readonly timeZone: string } };
};

interface SaidAnswer {
  answers?: {
    answer: string;
    by: string | null;
    at: string | null;
    until: string | null;
    basis: 'seen' | 'said';
    via: 'link' | 'command';
  }[];
  /** Who is not told, or is on the way, in full sentences; absent: everyone is told. */
  contactsSaid?: readonly string[];
  /** Each contact said that the unit is not theirs. */
  nobodyIsTold?: true;
}

/** Of each person the last of each kind that still stands, oldest first; absent: nobody said anything. */
export function saidAnswer(config: Config, evaluated: Evaluated, now: EpochSeconds): SaidAnswer {
  const { unit, record } = evaluated;
  const words = saidWords(config, { unit, record, timeZone: evaluated.place.place.timeZone }, now);
  const standing = (record.answers ?? []).filter(
    ({ endedAt, until, recordedAt }) =>
      endedAt === null && (until === null || until > now) && recordedAt <= now,
  );
  if (standing.length === 0) return {};
  return {
    answers: standing.map(({ answer, person, at, until, basis, via }) => ({
      answer,
      by: person,
      at: instant(at),
      until: instant(until),
      basis,
      via,
    })),
    ...(words.length === 0 ? {} : { contactsSaid: words }),
    ...(nobodyIsTold(unit, record.answers ?? [], now) ? { nobodyIsTold: true } : {}),
  };
}

export interface Spoken {
  readonly unit: UnitConfig;
  readonly record: Pick<UnitRecord, 'answers'>;
  readonly timeZone: string;
}

/** Who is not told, or is on the way, in full sentences. */
export function saidWords(
  config: Config,
  { unit, record, timeZone }: Spoken,
  now: EpochSeconds,
): readonly string[] {
  const answers = record.answers ?? [];
  const near = (at: EpochSeconds): string => formatNear(at, now, timeZone);
  const said = config.people.flatMap(({ id, name }) => {
    const [silent, way] = [silentUntil(answers, id, now), onTheWayUntil(answers, id, now)];
    return [
      ...(unit.contacts.includes(id) && isNotTheirs(answers, id, now)
        ? [`${name} said that ${unit.label} is not theirs, and is not told of it.`]
        : []),
      ...(silent === null ? [] : [`${name} asked not to be told of ${unit.label} until ${near(silent)}.`]),
      ...(way === null
        ? []
        : [`${name} is on the way to ${unit.label}, and is not asked again until ${near(way)}.`]),
    ];
  });
  return nobodyIsTold(unit, answers, now) ? [...said, nobodyWords(unit.id)] : said;
}
