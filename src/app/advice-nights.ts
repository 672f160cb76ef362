/**
 * How good the advice of one unit was, night by night: what it asked for, against what the weather that came would
 * have done had nobody acted. Pure.
 */
import type { Config, UnitConfig } from '../config/config.ts';
import { asItStands } from '../decision/options.ts';
import type { UnitWater } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import type { UnitMoment } from '../store/store.ts';
import { warmed } from './evaluate.ts';
import { heldWater } from './held-water.ts';
import { assessorOf } from './risk-question.ts';
import type { TrueNight } from './true-nights.ts';

export interface NightsQuestion {
  readonly config: Config;
  readonly unit: UnitConfig;
  /** In the order of writing. */
  readonly moments: readonly UnitMoment[];
  /** Oldest first. */
  readonly nights: readonly TrueNight[];
}

export interface JudgedNights {
  readonly nights: readonly JudgedNight[];
  /** Of which nothing can be said, and why. */
  readonly leftOut: {
    /** Too little is known of its weather. */
    readonly withoutTruth: number;
    /** No advice was in force yet, or what is kept of it cannot be read. */
    readonly withoutAdvice: number;
    /** The cold before it had done its harm already. */
    readonly afterHarm: number;
    /** Warned of a harm that came in a later night. */
    readonly ahead: number;
  };
}

export interface JudgedNight {
  readonly evening: EpochSeconds;
  readonly warned: boolean;
  readonly harmed: boolean;
}

export function adviceNights(question: NightsQuestion): JudgedNights {
  const verdicts = question.nights.map((night) => ({ night, ...judge(night, question) }));
  const count = (verdict: Verdict['verdict']): number => verdicts.filter((v) => v.verdict === verdict).length;
  const windowS = question.config.policy.windowHours * HOUR_S;
  const hits = verdicts.filter((v) => v.warning !== null && v.verdict === 'harmed');
  const isAhead = ({ night, warning, verdict }: (typeof verdicts)[number]): boolean =>
    verdict === 'whole' &&
    warning !== null &&
    hits.some(
      (hit) =>
        hit.warning === warning && hit.night.noon > night.noon && hit.night.noon <= night.evening + windowS,
    );
  const judged = verdicts.filter((v) => v.verdict === 'harmed' || v.verdict === 'whole');
  const counted = judged.filter((v) => !isAhead(v));
  return {
    nights: counted.map(({ night: { evening }, warning, verdict }) => ({
      evening,
      warned: warning !== null,
      harmed: verdict === 'harmed',
    })),
    leftOut: {
      withoutTruth: count('withoutTruth'),
      withoutAdvice: count('withoutAdvice'),
      afterHarm: count('afterHarm'),
      ahead: judged.length - counted.length,
    },
  };
}

interface Verdict {
  readonly verdict: 'harmed' | 'whole' | keyof Omit<JudgedNights['leftOut'], 'ahead'>;
  /** Names the story that the warning belongs to; null: there was none. */
  readonly warning: string | null;
}

function judge(night: TrueNight, question: NightsQuestion): Verdict {
  const advised = advisedAt(question.moments, night.evening);
  if (advised === null) return { verdict: 'withoutAdvice', warning: null };
  const { warning, since } = advised;
  if (night.outlook === null) return { verdict: 'withoutTruth', warning };
  const stood = standingAt(question, since ?? night.noon);
  const { first, before } = harmIn(night, night.outlook, stood);
  if (first) return { verdict: 'harmed', warning };
  if (!before) return { verdict: 'whole', warning };
  // After a cold that has done its harm a mild night is a quiet one; another cold one can harm nothing any more.
  const isQuiet = warning === null && !harmIn(night, fromNoon(night.outlook, night), stood).first;
  return { verdict: isQuiet ? 'whole' : 'afterHarm', warning };
}

interface Advised {
  readonly warning: string | null;
  /** When what was asked for was first asked for; null: nothing was. */
  readonly since: EpochSeconds | null;
}

/**
 * The advice in force. Advice that was followed before the evening counts as in force for as long as its cold lasts:
 * what it was worth is what would have come without it.
 */
function advisedAt(moments: readonly UnitMoment[], at: EpochSeconds): Advised | null {
  const rounds = moments.filter((m) => m.cause === 'round' && m.at <= at);
  const last = rounds.at(-1);
  if (last === undefined || last.damaged === true || last.memory.advice === null) return null;
  const { episode } = last.memory;
  const isFollowed = last.memory.advice.action === 'nothing' && episode?.over === true;
  const asked = isFollowed
    ? rounds.findLast((m) => m.memory.episode?.id === episode.id && asksForSome(m))
    : last;
  const advice = asked?.memory.advice ?? null;
  if (asked === undefined || advice === null || !asksForSome(asked)) return { warning: null, since: null };
  return { warning: asked.memory.episode?.id ?? String(advice.since), since: advice.since };
}

function asksForSome({ memory: { advice }, damaged }: UnitMoment): boolean {
  return damaged !== true && advice !== null && advice.action !== 'nothing';
}

interface Standing {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly water: UnitWater;
}

/** The unit as it would have stayed from that instant on. */
function standingAt({ config, unit, moments }: NightsQuestion, at: EpochSeconds): Standing {
  const moment = moments.findLast((m) => m.at <= at) ?? null;
  const { water } = heldWater(unit, moment, at);
  return { config, unit: warmed(unit, water), water };
}

/** Whether harm comes to it in the night, and whether any came before. */
function harmIn(
  { noon, end }: TrueNight,
  outlook: Outlook,
  stood: Standing,
): { readonly first: boolean; readonly before: boolean } {
  const assessor = assessorOf({ ...stood, outlook, now: noon });
  const scenario = { ...asItStands(stood.unit.model, stood.water, noon), until: end };
  const [risk] = assessor.assessMember([scenario], outlook.middle);
  return {
    first: (risk?.firstAt[0] ?? Infinity) <= end,
    before: (risk?.lastBefore[0] ?? -Infinity) > -Infinity,
  };
}

/** The same weather without what was before. */
function fromNoon(outlook: Outlook, { noon }: TrueNight): Outlook {
  const skipped = Math.max(0, Math.floor((noon - outlook.firstHour) / HOUR_S));
  return {
    ...outlook,
    firstHour: outlook.firstHour + skipped * HOUR_S,
    hours: outlook.hours - skipped,
    members: outlook.members.map((member) => ({
      weight: member.weight,
      temperatureC: member.temperatureC.subarray(skipped),
      windSpeedMps: member.windSpeedMps.subarray(skipped),
      groundC: member.groundC.subarray(skipped),
    })),
  };
}
