/** One unit under one outlook: risk and decision in a row. */
import type { Config, PlaceConfig, UnitConfig } from '../config/config.ts';
import type { Action, Advice, ChanceOfDamage, PerAction } from '../decision/advice.ts';
import { acceptedOf, type Candidate } from '../decision/candidate.ts';
import { decide, type Decision } from '../decision/decide.ts';
import { hasActed, type Memory } from '../decision/memory.ts';
import { throughCold } from '../decision/through-cold.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import { coldestAir } from './option-money.ts';
import { coversWindow } from './reach.ts';
import { timesToWork } from './times-to-work.ts';
import type { KnownRisks, UnitRisk } from './unit-risk.ts';

export interface AssessRequest {
  readonly config: Config;
  readonly place: PlaceConfig;
  readonly unit: UnitConfig;
  readonly outlook: Outlook;
  readonly water: UnitWater;
  /** Instant of the last mark or of the config's own state; null: never stated. */
  readonly waterAt: EpochSeconds | null;
  readonly checkedAt: EpochSeconds | null;
  readonly memory: Memory;
  readonly now: EpochSeconds;
  readonly risks: KnownRisks;
}

/** Its hours of holding out are those of the warmth that is advised, else of the warmth that there is. */
export interface Assessment extends UnitRisk {
  readonly advice: Advice;
  readonly relaxing: Decision['relaxing'];
  readonly chances: ChanceOfDamage;
  /** Damaged before now, and nobody has checked it since. */
  readonly alreadyDamaged: boolean;
}

export function assessUnit(request: AssessRequest): Assessment {
  const { config, unit, outlook, now, memory, checkedAt } = request;
  const risk = request.risks.of(request);
  const { candidates, damagedAt, middle } = risk;
  const decision = decide({
    now,
    candidates,
    firstDamage: risk.firstDamage,
    frozenPath: middle.frozenPath,
    policy: { ...unit.policy, tolerance: risk.tolerance },
    work: unit.work,
    coldestAir: (from, to) => coldestAir(outlook, from, to),
    ...timesToWork({ ...request, thawedPath: middle.thawedPath }),
    memory,
    forecast: outlook.version,
    windowCovered: coversWindow(outlook, now, config.policy.windowHours),
    acted: hasActed(memory, request.waterAt),
  });
  const through = throughCold(candidates, decision.advice, risk.tolerance);
  const { measures } = decision.advice;
  return {
    ...risk,
    ...decision,
    advice: through === null ? decision.advice : { ...decision.advice, throughCold: through },
    ...(measures === undefined ? {} : { holdOuts: request.risks.holdOutsOf(request, risk, measures) }),
    chances: chancesOf(offered(candidates, decision.advice), risk, outlook),
    alreadyDamaged: damagedAt !== null && (checkedAt === null || damagedAt > checkedAt),
  };
}

/** A partial drain that leaves no less than nothing is not worth a word, unless it stands from before. */
function offered(candidates: readonly Candidate[], { action }: Advice): readonly Candidate[] {
  const asItStands = candidates.find((c) => c.action === 'nothing')?.chance ?? 1;
  const isIdle = (c: Candidate): boolean => c.action === 'drain-part' && c.chance >= asItStands;
  return candidates.filter((c) => c.action === action || !isIdle(c));
}

function chancesOf(
  candidates: readonly Candidate[],
  { tolerance }: UnitRisk,
  { resolution }: Outlook,
): ChanceOfDamage {
  const per = (value: (c: Candidate) => number): PerAction =>
    Object.fromEntries(candidates.map((c) => [c.action, value(c)] as [Action, number]));
  return { perAction: per((c) => c.chance), tolerance: per((c) => acceptedOf(c, tolerance)), resolution };
}
