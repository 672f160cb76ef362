import { DEFAULT_POLICY, type Policy, type Work } from '../../src/decision/policy.ts';
import type { Candidate } from '../../src/decision/candidate.ts';
import { decide, type Situation } from '../../src/decision/decide.ts';
import { EMPTY_MEMORY, type AddressedNotice, type Memory } from '../../src/decision/memory.ts';
import type { Advice } from '../../src/decision/advice.ts';
import type { Contact, Finding } from '../../src/decision/finding.ts';
import { tell } from '../../src/decision/tell.ts';
import { seconds } from '../support/instants.ts';

const WORK: Work = {
  keepWarmMinutes: 20,
  drainMinutes: 45,
  winterizeMinutes: 90,
  travelMinutes: 15,
};

/** Monday noon, UTC. */
export const EPOCH = seconds('2026-11-23T12:00:00Z');

/** What the weather says in one round, at `hour` hours from the start of the timeline. */
export interface Weather {
  /** Chances per action; one that is left out is not feasible. */
  readonly chances: Partial<Record<Candidate['action'], number>>;
  /** Hours from the start of the timeline; null: no damage in sight. */
  readonly deadline: number | null;
  readonly forecast?: string;
  readonly acted?: boolean;
  readonly windowCovered?: boolean;
  readonly frozenPath?: boolean;
  /** Circuits that ice closes and that any work goes round. */
  readonly closed?: readonly string[];
  readonly iceHasRoom?: boolean;
  readonly chanceIfWet?: number;
  readonly chanceAhead?: number;
  readonly alreadyDamaged?: boolean;
  readonly chanceIfWetAhead?: number;
  readonly standsDrained?: boolean;
  /** Since when it has been cold up to the deadline, in hours from the start; absent: another cold each time. */
  readonly coldFrom?: number;
  /** Hours from the start of the timeline; absent: not known. */
  readonly firstDamage?: number;
  /** Those that every action is for; absent: all. */
  readonly circuits?: readonly string[];
  /** Null: not known. */
  readonly lowestC?: number | null;
}

export function situation(hour: number, of: Weather, memory: Memory = EMPTY_MEMORY): Situation {
  const deadlineAt = of.deadline === null ? null : EPOCH + of.deadline * 3600;
  const candidates = (['nothing', 'keep-warm', 'drain', 'winterize'] as const).flatMap((action) => {
    const chance = of.chances[action];
    const method = action === 'winterize' ? ('antifreeze' as const) : null;
    const circuits = of.circuits === undefined ? {} : { circuits: of.circuits };
    const round = of.closed === undefined || action === 'nothing' ? {} : { closed: of.closed };
    return chance === undefined ? [] : [{ action, method, chance, ...circuits, ...round }];
  });
  return {
    now: EPOCH + hour * 3600,
    candidates,
    firstDamage: { earliest: deadlineAt, deadlineQuantile: 0.025, deadlineAt, median: deadlineAt },
    frozenPath: of.frozenPath ?? false,
    policy: DEFAULT_POLICY,
    work: WORK,
    daylight: null,
    thawed: [],
    memory,
    forecast: of.forecast ?? `forecast of hour ${hour}`,
    windowCovered: of.windowCovered ?? true,
    acted: of.acted ?? false,
  };
}

export interface Said {
  readonly advice: Advice | null;
  readonly notices: readonly AddressedNotice[];
  /** Said before, and offered again. */
  readonly standing: readonly AddressedNotice[];
}

export const ANN: Contact = { person: 'ann', headsUpHours: 120 };

/** Most stories are of what follows a call: it comes as soon as the cold is as likely as not (`call-ahead.test.ts`: when). */
const PROMPT: Policy = { ...DEFAULT_POLICY, callAtOnceChance: 0.5 };

/** Rounds on a virtual clock: each decides from what the ones before it left in the memory, and tells. */
export class Timeline {
  memory: Memory = EMPTY_MEMORY;
  contacts: readonly Contact[] = [ANN];
  readonly #policy: Policy;

  constructor(policy: Policy = PROMPT) {
    this.#policy = policy;
  }

  round(hour: number, of: Weather): Said {
    const asked = { ...situation(hour, of, this.memory), policy: this.#policy };
    const { advice, relaxing } = decide(asked);
    const said = tell(this.#finding(asked, { of, advice, relaxing }), this.memory);
    this.memory = said.memory;
    return { advice, notices: said.notices, standing: said.standing };
  }

  /** A round without a forecast. */
  blind(hour: number, blindTooLong: boolean): Said {
    const finding: Finding = {
      unit: 'blue',
      now: EPOCH + hour * 3600,
      advice: null,
      relaxing: this.memory.relaxing,
      acted: false,
      chanceIfWet: 1,
      chanceAhead: 1,
      alreadyDamaged: false,
      deadlineAt: null,
      firstDamageAt: null,
      lowest: null,
      blindTooLong,
      policy: this.#policy,
      contacts: this.contacts,
    };
    const said = tell(finding, this.memory);
    this.memory = said.memory;
    return { advice: null, notices: said.notices, standing: said.standing };
  }

  #finding(
    asked: Situation,
    { of, advice, relaxing }: { of: Weather; advice: Advice; relaxing: Memory['relaxing'] },
  ): Finding {
    return {
      unit: 'blue',
      now: asked.now,
      advice,
      relaxing,
      acted: asked.acted,
      chanceIfWet: of.chanceIfWet ?? of.chances.nothing ?? 0,
      chanceAhead: of.chanceAhead ?? of.chances.nothing ?? 0,
      ...(of.chanceIfWetAhead === undefined ? {} : { chanceIfWetAhead: of.chanceIfWetAhead }),
      standsDrained: of.standsDrained ?? false,
      alreadyDamaged: of.alreadyDamaged ?? false,
      forecast: asked.forecast,
      chanceAsItStands: of.chances.nothing ?? 0,
      ...(of.coldFrom === undefined ? {} : { coldFrom: EPOCH + of.coldFrom * 3600 }),
      ...(of.iceHasRoom === undefined ? {} : { iceHasRoom: of.iceHasRoom }),
      deadlineAt: asked.firstDamage.deadlineAt,
      firstDamageAt: of.firstDamage === undefined ? null : EPOCH + of.firstDamage * 3600,
      lowest:
        of.lowestC === null
          ? null
          : { temperatureC: of.lowestC ?? -7, at: asked.now + 30 * 3600, madeAt: asked.now },
      blindTooLong: false,
      policy: this.#policy,
      contacts: this.contacts,
    };
  }
}
