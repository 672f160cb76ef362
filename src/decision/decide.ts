/** From chances and memory to advice. Pure; every outcome carries its reason. */
import { isTrap } from '../model/circuit-names.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { ACTIONS, type Action, type Advice, type FirstDamage, type ReasonCode } from './advice.ts';
import { acceptedOf, type Candidate } from './candidate.ts';
import { isSlowed } from './cold-work.ts';
import type { Interval } from './daylight.ts';
import type { Memory } from './memory.ts';
import { workMinutes, type Policy, type Work } from './policy.ts';
import { isClearlyLess, leastLeft } from './ranking.ts';
import { startByInCold, type StartByInCold } from './start-by-in-cold.ts';

export interface Situation {
  readonly now: EpochSeconds;
  /** Feasible actions in rising order of work; `nothing` first. */
  readonly candidates: readonly Candidate[];
  readonly firstDamage: FirstDamage;
  readonly frozenPath: boolean;
  readonly policy: Policy;
  readonly work: Work;
  /** Null: the hour of day does not matter. */
  readonly daylight: readonly Interval[] | null;
  readonly thawed: readonly Interval[];
  /** The coldest air between two instants [°C]; absent: cold does not slow the work. */
  readonly coldestAir?: (from: EpochSeconds, to: EpochSeconds) => number;
  /** When somebody is free to do it; null or absent: at any hour. */
  readonly free?: readonly Interval[] | null;
  readonly memory: Memory;
  /** Names the forecast, to tell a second one from the first seen again. */
  readonly forecast: string;
  /** The forecast reaches to the end of the window; one that does not can call for more, never for less. */
  readonly windowCovered: boolean;
  /** Someone changed the unit since the advice in force was given. */
  readonly acted: boolean;
}

export interface Decision {
  readonly advice: Advice;
  /** Forecasts that spoke for relaxing, to be remembered. */
  readonly relaxing: Memory['relaxing'];
}

export function decide(situation: Situation): Decision {
  const chosen = steadied(situation, choose(situation));
  const relaxing = remembered(situation, chosen.candidate);
  const inForce = heldBack(situation, chosen.candidate, relaxing);
  const held = inForce === null ? null : heldAdvice(situation, inForce);
  return { advice: held ?? advise(situation, chosen.candidate, chosen.reasonCode), relaxing };
}

interface Choice {
  readonly candidate: Candidate;
  readonly reasonCode: ReasonCode;
}

/** The least action within its tolerance, of those that leave less than every lesser one; undefined: there is none. */
export function sufficing(
  candidates: readonly Candidate[],
  tolerance: Policy['tolerance'],
  left: (candidate: Candidate) => number = ({ chance }) => chance,
): Candidate | undefined {
  return candidates.find((c, i) => {
    const leavesLeast = candidates.slice(0, i).every((lesser) => left(c) < left(lesser));
    return leavesLeast && left(c) <= acceptedOf(c, tolerance);
  });
}

/**
 * Whether there is anything to do is asked of the window; which work, of the whole cold spell that begins in it, so that
 * no second work follows an hour later from a night that was known all along. If there is none that suffices, the one
 * that costs least with the loss to expect after it (`ranking.ts`).
 */
function choose({ candidates, policy, frozenPath }: Situation): Choice {
  const within = sufficing(candidates, policy.tolerance);
  if (within !== undefined) {
    if (within.action !== 'nothing') {
      // What brings nothing within the window may yet bring something in the cold that goes on behind it.
      const lasting = sufficing(candidates, policy.tolerance, spellChance);
      return { candidate: lasting ?? within, reasonCode: 'cold-ahead' };
    }
    // What is frozen already comes to no new harm: that is no calm.
    if (frozenPath) return { candidate: within, reasonCode: 'frozen-path' };
    return { candidate: within, reasonCode: within.chance === 0 ? 'no-freeze' : 'within-tolerance' };
  }
  const least = leastLeft(candidates.filter(isWithoutPressure), policy.caution);
  // Round what ice closes there is work to be done at once: it does not wait for the thaw.
  const isInTheWay = frozenPath && least.closed === undefined;
  return { candidate: least, reasonCode: isInTheWay ? 'frozen-path' : 'nothing-suffices' };
}

/** Nothing is blown or pumped into lines in which ice stands: round it they are drained. Into a trap fluid is poured. */
function isWithoutPressure({ action, closed, circuits }: Candidate): boolean {
  return action !== 'winterize' || closed === undefined || circuits?.every(isTrap) === true;
}

/**
 * Where nothing suffices a stronger action that is in force stays for as long as any stronger advice does, and then until
 * another one is clearly better: colder air is no reason to ask for less, nor is one forecast's money. Ice may have
 * closed its way.
 */
function steadied(
  { candidates, memory, now, acted, policy, windowCovered }: Situation,
  chosen: Choice,
): Choice {
  const inForce = memory.advice;
  const { candidate, reasonCode } = chosen;
  if (inForce === null || acted || reasonCode !== 'nothing-suffices') return chosen;
  if (strength(candidate.action) >= strength(inForce.action)) return chosen;
  const held = candidates.find((c) => c.action === inForce.action && isWithoutPressure(c));
  if (held === undefined) return chosen;
  const isYoung = !windowCovered || now - inForce.since < AFTER_ADVICE_S;
  const { caution } = policy;
  if (!isYoung && isClearlyLess(candidate, held, { candidates, caution })) return chosen;
  return { candidate: held, reasonCode };
}

function spellChance({ chance, chanceInSpell = 0 }: Candidate): number {
  return Math.max(chance, chanceInSpell);
}

function advise(situation: Situation, candidate: Candidate, reasonCode: ReasonCode): Advice {
  const { action, method, circuits, closed, measures } = candidate;
  if (action === 'nothing') {
    return { action, method: null, startBy: null, late: false, boundBy: 'none', workMinutes: 0, reasonCode };
  }
  const minutes = candidate.workMinutes ?? workMinutes(situation.work, action, method);
  return {
    action,
    method,
    ...(circuits === undefined ? {} : { circuits }),
    ...(closed === undefined ? {} : { closed }),
    ...(measures === undefined ? {} : { measures }),
    ...timeOf(situation, candidate, minutes),
    reasonCode,
  };
}

/** When to start, how long it takes then, and what the air is. */
function timeOf(situation: Situation, { action, circuits }: Candidate, minutes: number): StartByInCold {
  const { firstDamage, work, policy, now, daylight, thawed, coldestAir, free = null } = situation;
  return startByInCold({
    deadlineAt: firstDamage.deadlineAt,
    workMinutes: minutes,
    travelMinutes: work.travelMinutes,
    marginMinutes: policy.marginMinutes,
    now,
    daylight,
    thawed,
    coldestAir: isSlowed(work, action, circuits ?? null) ? (coldestAir ?? null) : null,
    free,
  });
}

/** A second forecast must say so at least this long after the first, and after the stronger advice. */
const BETWEEN_FORECASTS_S = 6 * HOUR_S;
const AFTER_ADVICE_S = 12 * HOUR_S;

function strength(action: Action): number {
  return ACTIONS.indexOf(action);
}

type InForce = NonNullable<Memory['advice']>;

/** The advice in force where it is stronger and may not yet be relaxed; else null. */
function heldBack(
  { memory, now, acted, policy, windowCovered }: Situation,
  weaker: Candidate,
  relaxing: Memory['relaxing'],
): InForce | null {
  const inForce = memory.advice;
  if (inForce === null || acted || strength(weaker.action) >= strength(inForce.action)) return null;
  // Where nothing suffices there is no weaker action that would do: which is the better one has been weighed.
  if (weaker.chance > acceptedOf(weaker, policy.tolerance)) return null;
  if (!windowCovered || now - inForce.since < AFTER_ADVICE_S) return inForce;
  // A forecast for draining does not speak for doing nothing.
  const speaking = relaxing.filter((r) => strength(r.action) <= strength(weaker.action));
  return areConfirmed(speaking) ? null : inForce;
}

/** Two different forecasts spoke, far enough from each other. */
function areConfirmed(speaking: Memory['relaxing']): boolean {
  return speaking.some((first) =>
    speaking.some((r) => r.at - first.at >= BETWEEN_FORECASTS_S && r.forecast !== first.forecast),
  );
}

/** Forecasts in a row under which the weaker action stays under half its tolerance; one that does not, resets. */
function remembered(
  { memory, now, forecast, policy, windowCovered }: Situation,
  weaker: Candidate,
): Memory['relaxing'] {
  const inForce = memory.advice;
  if (inForce === null || strength(weaker.action) >= strength(inForce.action)) return [];
  const left = weaker.action === 'nothing' ? weaker.chance : spellChance(weaker);
  if (left >= acceptedOf(weaker, policy.tolerance) / 2) return [];
  const kept = memory.relaxing.filter((r) => now - r.at < 3 * DAY_S);
  if (!windowCovered || kept.some((r) => r.forecast === forecast)) return kept;
  return [...kept, { forecast, at: now, action: weaker.action }];
}

/** The advice in force, if it is still feasible, with its old start-by time where this forecast has no deadline. */
function heldAdvice(situation: Situation, inForce: InForce): Advice | null {
  const candidate = situation.candidates.find((c) => c.action === inForce.action);
  if (candidate === undefined) return null;
  const fresh = advise(situation, { ...candidate, method: inForce.method }, 'held');
  if (fresh.startBy !== null || inForce.startBy === null) return fresh;
  return { ...fresh, startBy: inForce.startBy, boundBy: 'deadline', late: inForce.startBy < situation.now };
}
