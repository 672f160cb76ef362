/** A winter as the program watches it, with a person who does what it says. */
import { mark } from '../../src/app/mark.ts';
import { runRound, type RoundOutcome } from '../../src/app/round.ts';
import type { Config } from '../../src/config/config.ts';
import type { Advice, Method } from '../../src/decision/advice.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { isTank, isTrap } from '../../src/model/circuit-names.ts';
import type { EpochSeconds } from '../../src/quantity/instant.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import { Coldest, forecastAt, sourceOf } from './forecasts.ts';
import { lotOf, trueDamage, TRAVEL_MINUTES, WORK_MINUTES, type Accepted } from './lot.ts';
import { Diary, FILLING_S, roundsOf, thawAfter, type Season } from './season.ts';
import type { Winter } from './series.ts';

const QUIET = { info: () => undefined, warn: () => undefined, error: () => undefined };
const ASKS_TO_ACT: readonly string[] = ['act', 'worse', 'late'];
const IS_OVER: readonly string[] = ['all-clear', 'fill-again'];

export interface WatchOf {
  readonly winter: Winter;
  readonly seed: number;
  readonly accepted: Accepted;
  readonly members: number;
  readonly callAhead: number;
  /** From which to which day of the winter; absent: all of it. */
  readonly days?: readonly [number, number];
  /** Rounds that cannot have anything to say are run all the same: the answer is the same. */
  readonly everyRound?: boolean;
}

export async function watchWinter(of: WatchOf): Promise<Season> {
  const config = lotOf(of);
  const store = await openStore(config.store.path);
  const rounds = roundsOf(of.winter, of.days);
  const watch = new Watch({ ...of, config, store }, rounds[0]!);
  try {
    for (const now of rounds) await watch.round(now);
    return watch.season(rounds.at(-1)!);
  } finally {
    await store.close();
  }
}

interface Job {
  readonly endAt: EpochSeconds;
  readonly action: OutgoingMessage['action'];
  readonly method: Advice['method'];
  readonly circuits: readonly string[];
}

/** What goes on at one unit. */
interface Doing {
  readonly diary: Diary;
  job: Job | null;
  fillAt: EpochSeconds | null;
  lookAt: EpochSeconds | null;
}

class Watch {
  readonly #of: WatchOf & { readonly config: Config; readonly store: Store };
  readonly #messages = new Map<string, Map<string, EpochSeconds>>();
  readonly #doing: ReadonlyMap<string, Doing>;
  readonly #coldest: Coldest;
  #before: EpochSeconds | null = null;
  #isIdle = false;

  constructor(of: WatchOf & { config: Config; store: Store }, from: EpochSeconds) {
    this.#of = of;
    this.#coldest = new Coldest(of.members);
    const idle = (id: string): Doing => ({
      diary: new Diary(id, from),
      job: null,
      fillAt: null,
      lookAt: null,
    });
    this.#doing = new Map(of.config.units.map(({ id }) => [id, idle(id)]));
  }

  async round(now: EpochSeconds): Promise<void> {
    for (const [unit, doing] of this.#doing) {
      await this.#suffer(unit, doing, now);
      await this.#work(unit, doing, now);
    }
    this.#before = now;
    const { winter, seed, everyRound = false } = this.#of;
    const isMild = this.#coldest.of(forecastAt(winter, now, seed)) > 0;
    if (!everyRound && this.#isIdle && isMild) return;
    const outcome = await this.#said(now);
    this.#isIdle =
      outcome.evaluation.units.every(
        ({ assessment, record }) => assessment?.advice.action === 'nothing' && record.memory.episode === null,
      ) && outcome.messages.length === 0;
    for (const [unit, doing] of this.#doing) this.#hear(unit, doing, { outcome, now });
  }

  season(to: EpochSeconds): Season {
    const doings = [...this.#doing.values()];
    const messages = [...this.#messages].map(([unit, sent]) => [unit, [...sent.values()]] as const);
    return { stretches: doings.flatMap(({ diary }) => diary.until(to)), messages: new Map(messages) };
  }

  async #said(now: EpochSeconds): Promise<RoundOutcome> {
    const { config, winter, seed, store } = this.#of;
    const { signal } = new AbortController();
    const sources = [{ source: sourceOf(winter, seed), staleAfterHours: null, service: null }];
    return await runRound({ config, sources, store, owner: 'winter', now: () => now, signal, log: QUIET });
  }

  /** What the true air did since the round before, up to the end of work that ended meanwhile and after it. */
  async #suffer(id: string, doing: Doing, now: EpochSeconds): Promise<void> {
    const { job, diary } = doing;
    const from = this.#before;
    if (from === null || diary.harmedAt !== null) return;
    const done = job !== null && job.endAt <= now ? Math.max(job.endAt, from) : null;
    const at = (await this.#damage(id, { from, to: done ?? now })) ?? null;
    if (at === null && done !== null) {
      await this.#markDone(id, job!, { at: done, now });
      doing.job = null;
      diary.work(done);
      const after = await this.#damage(id, { from: done, to: now });
      if (after !== null) this.#harm(doing, after);
    }
    if (at !== null) this.#harm(doing, at);
  }

  #harm(doing: Doing, at: EpochSeconds): void {
    doing.diary.harm(at);
    Object.assign(doing, { job: null, fillAt: thawAfter(this.#of.winter, at) });
  }

  async #damage(
    id: string,
    span: { readonly from: EpochSeconds; readonly to: EpochSeconds },
  ): Promise<EpochSeconds | null> {
    if (span.from >= span.to) return null;
    const unit = this.#of.config.units.find((one) => one.id === id)!;
    const water = (await this.#of.store.readUnits()).get(id)?.water ?? unit.water;
    return trueDamage({ ...this.#of, unit, water }, span);
  }

  /** What is over is filled again; what thawed, or is said to have frozen and has not, is looked at. */
  async #work(id: string, doing: Doing, now: EpochSeconds): Promise<void> {
    const { diary, fillAt, lookAt } = doing;
    if (fillAt !== null && fillAt <= now) {
      if (diary.harmedAt !== null) await this.#mark(id, 'checked', { at: now, now });
      await this.#mark(id, 'in-use', { at: now, now });
      diary.fill(now);
      Object.assign(doing, { job: null, fillAt: null, lookAt: null });
    } else if (lookAt !== null && diary.harmedAt === null) {
      await this.#mark(id, 'checked', { at: now, now });
      doing.lookAt = null;
    }
  }

  async #markDone(
    id: string,
    { action, method, circuits }: Job,
    when: { readonly at: EpochSeconds; readonly now: EpochSeconds },
  ): Promise<void> {
    switch (action) {
      case 'drain':
        await this.#mark(id, 'drained', { ...when, quality: 'well', circuits });
        break;
      case 'winterize':
        await this.#markWinterized(id, { method: method ?? 'antifreeze', circuits }, when);
        break;
      default:
        await this.#mark(id, 'kept-warm', when);
    }
  }

  /** Whichever way, tanks are drained and antifreeze goes into the traps: in part, each is said by itself. */
  async #markWinterized(
    id: string,
    { method, circuits }: { readonly method: Method; readonly circuits: readonly string[] },
    when: { readonly at: EpochSeconds; readonly now: EpochSeconds },
  ): Promise<void> {
    if (circuits.length === 0) {
      const traps = method === 'air' ? { traps: true } : {};
      await this.#mark(id, 'winterized', { ...when, method, circuits, ...traps });
      return;
    }
    const tanks = circuits.filter(isTank);
    const filled = circuits.filter((c) => !isTank(c) && (method === 'antifreeze' || isTrap(c)));
    const blown = circuits.filter((c) => !isTank(c) && !filled.includes(c));
    if (tanks.length > 0) await this.#mark(id, 'drained', { ...when, quality: 'well', circuits: tanks });
    if (filled.length > 0)
      await this.#mark(id, 'winterized', { ...when, method: 'antifreeze', circuits: filled });
    if (blown.length > 0) await this.#mark(id, 'winterized', { ...when, method: 'air', circuits: blown });
  }

  async #mark(
    unit: string,
    state: Parameters<typeof mark>[0]['state'],
    more: { readonly at: EpochSeconds; readonly now: EpochSeconds } & Partial<Parameters<typeof mark>[0]>,
  ): Promise<void> {
    const usual = { circuits: [], method: null, quality: null, concentrationPercent: null, by: null };
    await mark({ config: this.#of.config, unit, state, ...usual, ...more });
  }

  #hear(
    unit: string,
    doing: Doing,
    { outcome, now }: { readonly outcome: RoundOutcome; readonly now: EpochSeconds },
  ): void {
    const advice = outcome.evaluation.units.find((u) => u.unit.id === unit)?.assessment?.advice ?? null;
    for (const message of outcome.messages) {
      if (message.unit === unit && this.#isNew(message, now)) this.#obey(doing, message, { advice, now });
    }
    // Whoever begins at the time to start by looks at the newest one first.
    const { job } = doing;
    if (job !== null && advice !== null && advice.startBy !== null && isFor(job, advice))
      doing.job = { ...job, endAt: endOfWork(Math.max(now, advice.startBy), advice) };
  }

  /** A heads-up is repeated in every round and reaches each reader once: the outbox knows it. */
  #isNew({ unit, messageId }: OutgoingMessage, now: EpochSeconds): boolean {
    const sent = this.#messages.get(unit) ?? new Map<string, EpochSeconds>();
    this.#messages.set(unit, sent);
    if (sent.has(messageId)) return false;
    sent.set(messageId, now);
    return true;
  }

  #obey(
    doing: Doing,
    { kind, action, startBy }: OutgoingMessage,
    { advice, now }: { readonly advice: Advice | null; readonly now: EpochSeconds },
  ): void {
    const { diary } = doing;
    if (kind === 'frozen') doing.lookAt = now;
    // It stands frozen until it has thawed.
    if (diary.harmedAt !== null) return;
    if (IS_OVER.includes(kind) && diary.calls.length > 0)
      Object.assign(doing, { job: null, fillAt: now + FILLING_S });
    if (!ASKS_TO_ACT.includes(kind)) return;
    diary.call(now, `${kind} ${action}`);
    doing.fillAt = null;
    if (action === 'nothing') return;
    doing.job = {
      endAt: endOfWork(Math.max(now, startBy ?? now), advice),
      action,
      method: advice?.method ?? null,
      circuits: advice?.circuits ?? [],
    };
  }
}

/** A partial drain is a drain outside. */
function isFor({ action }: Job, advice: Advice): boolean {
  return advice.action === action || (advice.action === 'drain-part' && action === 'drain');
}

function endOfWork(begin: EpochSeconds, advice: Advice | null): EpochSeconds {
  return begin + 60 * ((advice?.workMinutes ?? WORK_MINUTES) + TRAVEL_MINUTES);
}
