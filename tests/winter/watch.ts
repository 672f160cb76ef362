/** A winter as the program and a person who does what it says go through it, and as fixed rules would. */
import { mark } from '../../src/app/mark.ts';
import { runRound, type RoundOutcome } from '../../src/app/round.ts';
import type { Config, UnitConfig } from '../../src/config/config.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import { forecastAt, sourceOf, truthAt } from './forecasts.ts';
import { lotOf, trueDamage, WET } from './lot.ts';
import type { Winter } from './series.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const ROUND_S = 6 * HOUR;
const WINDOW_S = 72 * HOUR;
/** Work and travel by the fixed rules: as long as winterizing takes. */
const RULE_WORK_S = 130 * 60;
/** So long above freezing, and what was frozen has thawed and been looked at. */
const THAW_HOURS = 36;
/** With a forecast so mild for as far as it reaches, and nothing to be taken back, a round has nothing to say. */
const MILD_C = 8;

export interface Alarm {
  readonly unit: string;
  readonly at: number;
  readonly what: string;
}

export interface Damage {
  readonly unit: string;
  readonly at: number;
  /** When the person was last told to act, before it; null: never in this cold. */
  readonly toldAt: number | null;
}

export interface Season {
  readonly alarms: readonly Alarm[];
  readonly damages: readonly Damage[];
  /** Most messages to one person about one unit on one day of the place. */
  readonly mostADay: number;
}

const QUIET = { info: () => undefined, warn: () => undefined, error: () => undefined };
const ASKS_TO_ACT = new Set(['act', 'worse', 'late']);

interface Job {
  readonly endAt: number;
  readonly action: string;
  readonly method: 'antifreeze' | 'air' | null;
  readonly circuits: readonly string[];
}

/** What goes on at one unit. */
interface Doing {
  job: Job | null;
  toldAt: number | null;
  frozenUntil: number | null;
  fillAt: number | null;
}

export interface WatchOf {
  readonly winter: Winter;
  readonly seed: number;
  readonly tolerance: number;
}

export async function watchWinter({ winter, seed, tolerance }: WatchOf): Promise<Season> {
  const config = lotOf({ winter, tolerance });
  const store = await openStore(config.store.path);
  const watched = new Watched({ config, winter, seed, store });
  try {
    for (const now of roundsOf(winter)) await watched.round(now);
    return watched.season();
  } finally {
    await store.close();
  }
}

class Watched {
  readonly #of: { config: Config; winter: Winter; seed: number; store: Store };
  readonly #alarms: Alarm[] = [];
  readonly #damages: Damage[] = [];
  readonly #perDay = new Map<string, number>();
  readonly #doing: ReadonlyMap<string, Doing>;
  #before: number | null = null;
  #isIdle = false;

  constructor(of: { config: Config; winter: Winter; seed: number; store: Store }) {
    this.#of = of;
    const idle = (): Doing => ({ job: null, toldAt: null, frozenUntil: null, fillAt: null });
    this.#doing = new Map(of.config.units.map(({ id }) => [id, idle()]));
  }

  async round(now: number): Promise<void> {
    for (const unit of this.#of.config.units) await this.#work(unit, now);
    await this.#suffer(now);
    this.#before = now;
    if (this.#isIdle && lowWithin(this.#of.winter, now, this.#of.seed) > MILD_C) return;
    const outcome = await this.#said(now);
    this.#isIdle = outcome.evaluation.units.every(
      ({ assessment, record }) => assessment?.advice.action === 'nothing' && record.memory.episode === null,
    );
    for (const unit of this.#of.config.units) this.#hear(unit.id, outcome, now);
  }

  season(): Season {
    return {
      alarms: this.#alarms,
      damages: this.#damages,
      mostADay: Math.max(0, ...this.#perDay.values()),
    };
  }

  async #said(now: number): Promise<RoundOutcome> {
    const { config, winter, seed, store } = this.#of;
    const { signal } = new AbortController();
    const sources = [{ source: sourceOf(winter, seed), staleAfterHours: null, service: null }];
    return await runRound({ config, sources, store, owner: 'winter', now: () => now, signal, log: QUIET });
  }

  /** What was to be done since the last round is done, and what thawed is looked at. */
  async #work({ id }: UnitConfig, now: number): Promise<void> {
    const doing = this.#doing.get(id)!;
    const { job, frozenUntil, fillAt } = doing;
    if (frozenUntil !== null) {
      if (now < frozenUntil) return;
      await this.#mark(id, 'checked', { at: now, now });
      await this.#mark(id, 'in-use', { at: now, now });
      Object.assign(doing, { frozenUntil: null, job: null, toldAt: null, fillAt: null });
      return;
    }
    if (job !== null && job.endAt <= now) {
      const state =
        job.action === 'drain' ? 'drained' : job.action === 'winterize' ? 'winterized' : 'kept-warm';
      const quality = state === 'drained' ? ('well' as const) : null;
      const method = state === 'winterized' ? (job.method ?? 'antifreeze') : null;
      const traps = method === 'air' && job.circuits.length === 0 ? { traps: true } : {};
      const circuits = state === 'kept-warm' ? [] : job.circuits;
      await this.#mark(id, state, {
        at: Math.max(job.endAt, this.#before ?? 0),
        now,
        quality,
        method,
        circuits,
        ...traps,
      });
      doing.job = null;
    }
    if (fillAt !== null && fillAt <= now) {
      await this.#mark(id, 'in-use', { at: now, now });
      Object.assign(doing, { fillAt: null, toldAt: null });
    }
  }

  async #mark(
    unit: string,
    state: Parameters<typeof mark>[0]['state'],
    more: { readonly at: number; readonly now: number } & Partial<Parameters<typeof mark>[0]>,
  ): Promise<void> {
    const usual = { circuits: [], method: null, quality: null, concentrationPercent: null, by: null };
    await mark({ config: this.#of.config, unit, state, ...usual, ...more });
  }

  /** What the true air did since the round before. */
  async #suffer(now: number): Promise<void> {
    const from = this.#before;
    if (from === null) return;
    const records = await this.#of.store.readUnits();
    for (const unit of this.#of.config.units) {
      const doing = this.#doing.get(unit.id)!;
      if (doing.frozenUntil !== null) continue;
      const water: UnitWater = records.get(unit.id)?.water ?? unit.water;
      const at = trueDamage({ ...this.#of, unit, water }, { from, to: now });
      if (at === null) continue;
      this.#damages.push({ unit: unit.id, at, toldAt: doing.toldAt });
      Object.assign(doing, { frozenUntil: thawAfter(this.#of.winter, at), job: null, fillAt: null });
    }
  }

  #hear(unit: string, outcome: RoundOutcome, now: number): void {
    const doing = this.#doing.get(unit)!;
    const advice = outcome.evaluation.units.find((u) => u.unit.id === unit)?.assessment?.advice ?? null;
    const messages = outcome.messages.filter((m) => m.unit === unit);
    for (const { kind, action, startBy } of messages) {
      this.#count(unit, now);
      if (ASKS_TO_ACT.has(kind)) {
        this.#alarms.push({ unit, at: now, what: `${kind} ${action}` });
        doing.toldAt = now;
        doing.fillAt = null;
      }
      if (kind === 'all-clear' || kind === 'fill-again')
        Object.assign(doing, { job: null, toldAt: null, fillAt: now + 2 * HOUR });
      if (!ASKS_TO_ACT.has(kind) || action === 'nothing') continue;
      const begin = startBy === null ? now : Math.max(now, startBy);
      doing.job = {
        endAt: begin + 60 * (advice?.workMinutes ?? 90) + 40 * 60,
        action,
        method: advice?.method ?? null,
        circuits: advice?.circuits ?? [],
      };
    }
    // Whoever begins at the time to start by looks at the newest one first.
    const { job } = doing;
    if (job !== null && advice !== null && advice.action === job.action && advice.startBy !== null) {
      const endAt = Math.max(now, advice.startBy) + 60 * advice.workMinutes + 40 * 60;
      doing.job = { ...job, endAt };
    }
  }

  #count(unit: string, now: number): void {
    const day = `${unit} ${Math.floor((now - this.#of.winter.firstHour) / DAY)}`;
    this.#perDay.set(day, (this.#perDay.get(day) ?? 0) + 1);
  }
}

/** When the air has been above freezing for long enough. */
function thawAfter(winter: Winter, at: number): number {
  let above = 0;
  let hour = Math.ceil(at / HOUR) * HOUR;
  for (; above < THAW_HOURS && hour < at + 120 * DAY; hour += HOUR)
    above = truthAt(winter, hour) > 0 ? above + 1 : 0;
  return hour;
}

function roundsOf(winter: Winter): number[] {
  const last = winter.firstHour + (winter.temperatureC.length - 8 * 24) * HOUR;
  const rounds: number[] = [];
  for (let now = winter.firstHour + 4 * DAY; now < last; now += ROUND_S) rounds.push(now);
  return rounds;
}

export interface RuleOf {
  readonly winter: Winter;
  readonly seed: number;
  /** An alarm where the forecast's low within three days is at or below it. */
  readonly atC: number;
}

/**
 * Everybody winterizes at once at an alarm and fills again when two forecasts in a row, at least six hours apart and
 * twelve after the alarm, have no such low: as much patience as the program has.
 */
export async function followRule({ winter, seed, atC }: RuleOf): Promise<Season> {
  const config = lotOf({ winter, tolerance: 0.05 });
  const alarms: Alarm[] = [];
  const damages: Damage[] = [];
  let alarm: number | null = null;
  let calmSince: number | null = null;
  let before: number | null = null;
  const usableFrom = new Map(config.units.map(({ id }) => [id, 0]));
  for (const now of roundsOf(winter)) {
    const safeFrom: number = alarm === null ? Infinity : alarm + RULE_WORK_S;
    if (before !== null) {
      for (const unit of config.units) {
        const from = Math.max(before, usableFrom.get(unit.id)!);
        const to = Math.min(now, safeFrom);
        if (from >= to) continue;
        const wet = { ...WET, all: { ...WET.all, since: usableFrom.get(unit.id)! } };
        const at = trueDamage({ config, unit, winter, water: wet }, { from, to });
        if (at === null) continue;
        damages.push({ unit: unit.id, at, toldAt: alarm });
        usableFrom.set(unit.id, thawAfter(winter, at));
      }
    }
    const isCold = lowWithin(winter, now, seed) <= atC;
    if (isCold && alarm === null) {
      alarm = now;
      for (const { id } of config.units) alarms.push({ unit: id, at: now, what: 'rule' });
    }
    calmSince = isCold ? null : (calmSince ?? now);
    const isOver =
      alarm !== null && calmSince !== null && now - calmSince >= 6 * HOUR && now - alarm >= 12 * HOUR;
    if (isOver) {
      alarm = null;
      for (const [id, from] of usableFrom) usableFrom.set(id, Math.max(from, now));
    }
    before = now;
  }
  return { alarms, damages, mostADay: 1 };
}

function lowWithin(winter: Winter, now: number, seed: number): number {
  const { firstHour, members } = forecastAt(winter, now, seed);
  const from = Math.floor((now - firstHour) / HOUR);
  return Math.min(...(members[0]?.temperatureC.slice(from, from + WINDOW_S / HOUR) ?? []));
}
