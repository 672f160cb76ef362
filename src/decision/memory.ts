import type { Measure } from '../model/measure.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Action, Method } from './advice.ts';

export const MESSAGE_KINDS = [
  'heads-up',
  'act',
  'last-call',
  'worse',
  'late',
  'frozen',
  'all-clear',
  'no-forecast',
  'fill-again',
  'fill-by',
  'dump-by',
  'unreached',
] as const;
export type MessageKind = (typeof MESSAGE_KINDS)[number];

/** One thing that was told. What is absent was not kept by the program that wrote it. */
export interface Said {
  readonly kind: MessageKind;
  readonly action: Action;
  readonly at: EpochSeconds;
  readonly startBy: EpochSeconds | null;
  /** When the damage was due that it warned of. */
  readonly dueAt?: EpochSeconds;
  /** What was known when it was said. */
  readonly under?: Grounds;
  /** Under which episode the outbox knows it. */
  readonly key?: string;
  /** Which telling of this kind and action it was in its episode, from 1. */
  readonly number?: number;
  /** Ids of the people it was addressed to. */
  readonly to?: readonly string[];
}

/** What a time to start by rests on. */
export interface Grounds {
  readonly forecast: string;
  /** Of damage within the window as it stands. */
  readonly chance: number;
  /** The lowest outside air ahead, by the middle course; null: not known. */
  readonly lowestC: number | null;
}

/** From the first advice above nothing, or heads-up, to the all-clear. */
export interface Episode {
  readonly id: string;
  readonly since: EpochSeconds;
  /** Ids of those who were told anything in it, and so hear its all-clear. Absent: not kept; then everyone. */
  readonly heard?: readonly string[];
  /** Nothing of it is left to do: what is told next, short of the all-clear, opens another one. */
  readonly over?: true;
  /** What was asked and done in the one before, whose all-clear is still due; absent: nothing. */
  readonly done?: Action;
  /** When the cold that it was done for was to come; absent: nothing was done, or no forecast said when. */
  readonly dueAt?: EpochSeconds;
  /** When it was last asked for; absent: nothing was done. */
  readonly askedAt?: EpochSeconds;
  /** Since when forecasts have taken back that cold before it came; absent: they have not. */
  readonly calmSince?: EpochSeconds;
}

/** What a unit's rounds remember of each other: the advice in force and what was told. JSON in the store. */
export interface Memory {
  readonly episode: Episode | null;
  readonly advice: {
    readonly action: Action;
    readonly method: Method | null;
    readonly startBy: EpochSeconds | null;
    /** When this action became the advice. */
    readonly since: EpochSeconds;
    /** As of when the water was said that it was given for; null: nobody had said. Absent: not kept. */
    readonly waterAt?: EpochSeconds | null;
    /** When the damage is due that it prevents; absent: no forecast says when. */
    readonly dueAt?: EpochSeconds;
    /** All that was asked to keep it warm since then; absent with any other action. */
    readonly measures?: readonly Measure[];
    /** Circuits that were to be done; absent: all, or it was not kept. */
    readonly circuits?: readonly string[];
  } | null;
  /** Forecasts under which a weaker action was within half its tolerance, oldest first. */
  readonly relaxing: readonly {
    readonly forecast: string;
    readonly at: EpochSeconds;
    readonly action: Action;
  }[];
  readonly told: readonly Said[];
  /** May already have frozen, since when; cleared only by a person's check. */
  readonly suspectSince: EpochSeconds | null;
  /** The last forecast's low, repeated when there is no forecast. */
  readonly lastKnown: {
    /** When that forecast was made. */
    readonly asOf: EpochSeconds;
    readonly lowestOutsideC: number;
    readonly lowestAt: EpochSeconds;
  } | null;
  /** Since when this unit's place has had no usable forecast; null: it has one. */
  readonly blindSince: EpochSeconds | null;
  /** Of those who asked for silence: what they knew of then. Absent: nobody did. */
  readonly silences?: readonly {
    readonly person: string;
    readonly until: EpochSeconds;
    readonly action: Action;
  }[];
  /** It was called over, stands drained, and nobody was told yet that it may be filled; absent: not so. */
  readonly dry?: { readonly episode: string; readonly to: readonly string[] };
  /** What was said of the end of the place's water service; absent: nothing. */
  readonly service?: readonly ServiceSaid[];
}

/** One end of a water service that was told. */
export interface ServiceSaid {
  readonly kind: 'fill-by' | 'dump-by';
  readonly because: 'date' | 'cold';
  /** Under which episode the outbox knows the first telling; later ones add their number. */
  readonly key: string;
  readonly number: number;
  readonly shutAt: EpochSeconds;
  readonly startBy: EpochSeconds | null;
  /** The last round that found it ahead. */
  readonly seenAt: EpochSeconds;
}

/**
 * Somebody changed the unit since the advice in force was given. Instants are whole seconds, and an answer is followed by
 * a round at once: what the advice was given for tells which came first.
 */
export function hasActed({ advice }: Pick<Memory, 'advice'>, waterAt: EpochSeconds | null): boolean {
  if (advice === null || waterAt === null) return false;
  if (advice.waterAt === undefined) return waterAt > advice.since;
  return advice.waterAt === null ? waterAt >= advice.since : waterAt > advice.waterAt;
}

export const EMPTY_MEMORY: Memory = {
  episode: null,
  advice: null,
  relaxing: [],
  told: [],
  suspectSince: null,
  lastKnown: null,
  blindSince: null,
};

/** The clocks of two machines differ, and a clock that is set right jumps: by more than this, it was wrong. */
const CLOCK_SLACK_S = HOUR_S;

/**
 * The memory without what a clock that was ahead has left in it. Saying a thing again is better than silence
 * for as long as that clock was ahead; a suspicion and the advice in force stay.
 */
export function withoutFuture(memory: Memory, now: EpochSeconds): Memory {
  const isFuture = (at: EpochSeconds): boolean => at > now + CLOCK_SLACK_S;
  const notLater = (at: EpochSeconds | null): EpochSeconds | null => (at !== null && isFuture(at) ? now : at);
  const { episode, advice, lastKnown } = memory;
  const told = memory.told.filter(({ at }) => !isFuture(at));
  const isBroken =
    told.length < memory.told.length || isFuture(Math.max(episode?.since ?? now, episode?.askedAt ?? now));
  return {
    episode: episode !== null && isBroken ? { ...episode, ...askedBy(now, episode), over: true } : episode,
    advice: advice !== null && isFuture(advice.since) ? { ...advice, since: now } : advice,
    relaxing: memory.relaxing.filter(({ at }) => !isFuture(at)),
    told,
    suspectSince: notLater(memory.suspectSince),
    lastKnown: lastKnown !== null && isFuture(lastKnown.asOf) ? null : lastKnown,
    blindSince: notLater(memory.blindSince),
    ...(memory.silences === undefined ? {} : { silences: memory.silences }),
    ...(memory.dry === undefined ? {} : { dry: memory.dry }),
    ...(memory.service === undefined
      ? {}
      : { service: memory.service.filter(({ seenAt }) => !isFuture(seenAt)) }),
  };
}

function askedBy(now: EpochSeconds, { askedAt }: Episode): Pick<Episode, 'askedAt'> {
  return askedAt === undefined ? {} : { askedAt: Math.min(askedAt, now) };
}

/** One thing to say about one unit, before it is addressed to anyone. */
export interface Notice {
  readonly kind: MessageKind;
  readonly episode: string;
  readonly action: Action;
  readonly startBy: EpochSeconds | null;
  /** After this instant it would mislead and must not be sent. */
  readonly useBefore: EpochSeconds;
  /** Whether it may wait for the end of the reader's quiet hours. */
  readonly canWait: boolean;
  /** What the reader was told before, and what of keeping it warm. */
  readonly previous: {
    readonly action: Action;
    readonly startBy: EpochSeconds | null;
    readonly measures?: readonly Measure[];
  } | null;
  /** Said because there is a forecast again after its loss was told. */
  readonly forecastBack?: true;
}

/** A notice and the ids of the people it is for. */
export interface AddressedNotice extends Notice {
  readonly to: readonly string[];
}
