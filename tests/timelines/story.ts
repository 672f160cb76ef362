/**
 * A story on a virtual clock: hourly rounds of the whole program, with a real database, a weather service on the
 * loopback interface and a real mail server. What people heard is compared with what they should have heard, and
 * anything else that was sent fails the story.
 */
import { DateTime } from 'luxon';
import { expect, onTestFinished } from 'vitest';
import { openMachinery } from '../../src/app/compose.ts';
import { mark } from '../../src/app/mark.ts';
import type { MarkRequest } from '../../src/app/mark-request.ts';
import { runRound, type RoundOutcome } from '../../src/app/round.ts';
import type { Config } from '../../src/config/config.ts';
import { listMessage } from '../../src/message/list.ts';
import { deliverDue } from '../../src/outbox/loop.ts';
import { iso, seconds } from '../support/instants.ts';
import { openMeteoBody } from '../support/open-meteo-body.ts';
import { ANN, CREEK, PROBE, scenario } from '../support/scenario.ts';
import { startSmtp, type ReceivedMail, type SmtpOptions, type SmtpServer } from '../support/smtp.ts';
import { startWeatherServer } from '../support/weather-server.ts';

export const HOUR = 3600;
export const DAY = 24 * HOUR;

/** What the service says at `now` of the air at another instant [°C]; null: it knows nothing of it. */
export type Says = (at: number, now: number) => number | null;

type Written = Readonly<Record<string, unknown>>;

export interface Plot {
  /** First round. */
  readonly from: string;
  readonly says: Says;
  /** When the service cannot be reached. */
  readonly isOut?: (now: number) => boolean;
  readonly units?: readonly object[];
  readonly places?: readonly object[];
  readonly people?: readonly object[];
  /** How far the forecast may be off; absent: `growing`. `none` makes every time of the story exact. */
  readonly errorModel?: object;
  /** Wind [m/s] and cloud [%] all the while; absent: 2 and 50. */
  readonly windMps?: number;
  readonly cloudPercent?: number;
  readonly smtp?: SmtpOptions;
  /** Further sections of the config, or others in place of the usual ones. */
  readonly config?: Written | ((smtpPort: number) => Written);
}

/** One message that arrived. */
export interface Heard {
  /** Of the round that sent it. */
  readonly at: number;
  readonly to: string;
  readonly kind: string;
  readonly unit: string;
  readonly action: string;
  readonly startBy: number | null;
  readonly received: ReceivedMail;
}

/** What somebody should hear. Times are of the first and last round in which it may be sent. */
export interface Due {
  readonly kind: string;
  readonly from: string;
  readonly to: string;
  /** Absent: `ann`. */
  readonly who?: string;
  readonly action?: string;
  readonly unit?: string;
  /** Between which instants the start-by time lies; null: none is given. */
  readonly startBy?: readonly [string, string] | null;
  /** What its text holds, however the lines are broken. */
  readonly says?: RegExp | readonly RegExp[];
  readonly saysNot?: RegExp;
}

const QUIET = { info: () => undefined, warn: () => undefined, error: () => undefined };

export class Story {
  /** Another one holds from the next round on. */
  config: Config;
  readonly heard: Heard[] = [];
  readonly outcomes: RoundOutcome[] = [];
  now: number;
  readonly #smtp: SmtpServer;
  readonly #tick: (now: number) => void;
  #seen = 0;

  private constructor(of: { config: Config; smtp: SmtpServer; from: number; tick: (now: number) => void }) {
    this.config = of.config;
    this.#smtp = of.smtp;
    this.#tick = of.tick;
    this.now = of.from;
  }

  static async begin(plot: Plot): Promise<Story> {
    let clock = seconds(plot.from);
    const weather = await startWeatherServer(({ points }) => {
      if (plot.isOut?.(clock) === true) return { drop: 'before' };
      const startEpochS = Math.floor(clock / HOUR) * HOUR - 3 * DAY;
      const temperatureC = (hour: number): number | null => plot.says(startEpochS + hour * HOUR, clock);
      const windSpeedMps = (): number => plot.windMps ?? 2;
      const cloudPercent = (): number => plot.cloudPercent ?? 50;
      return { body: openMeteoBody(points, { startEpochS, temperatureC, windSpeedMps, cloudPercent }) };
    });
    onTestFinished(() => weather.close());
    const smtp = await startSmtp(plot.smtp);
    onTestFinished(() => smtp.close());
    const config = scenario(written(plot, { weather: weather.url, port: smtp.port }), {});
    const tick = (now: number): void => {
      clock = now;
    };
    return new Story({ config, smtp, from: clock, tick });
  }

  /** A round each hour up to this instant, the first now. */
  async until(instant: string, { everyHours = 1 } = {}): Promise<void> {
    const last = seconds(instant);
    for (; this.now <= last; this.now += everyHours * HOUR) await this.#round();
  }

  /** A person says, now, what was done. */
  async mark(state: MarkRequest['state'], more: Partial<MarkRequest> = {}): Promise<readonly string[]> {
    const { config, now } = this;
    const usual = { circuits: [], method: null, quality: null, concentrationPercent: null, by: null };
    const unit = config.units[0]?.id ?? '';
    return await mark({ config, unit, state, ...usual, at: now, now, ...more });
  }

  /** Every message that was sent, in order, and no other. */
  expectHeard(due: readonly Due[]): void {
    const said = this.heard.map(told).join('\n');
    process.stdout.write(`${expect.getState().currentTestName ?? ''}\n${said}\n`);
    expect(
      this.heard.map(({ kind, to }) => `${to} ${kind}`),
      said,
    ).toEqual(due.map(({ kind, who = 'ann' }) => `${who} ${kind}`));
    due.forEach((one, index) => expectOne(this.heard[index]!, one, said));
    expectFew(this.heard);
  }

  async #round(): Promise<void> {
    const { config, now } = this;
    this.#tick(now);
    const { signal } = new AbortController();
    const clock = (): number => now;
    const patience = { random: () => 0.5, sleep: async () => undefined };
    const surroundings = { env: {}, write: () => undefined, patience };
    const machinery = await openMachinery(config, { surroundings, signal, log: QUIET, now: clock });
    try {
      const { store, sources, channels, owner } = machinery;
      const common = { store, owner, now: clock, signal, log: QUIET };
      this.outcomes.push(await runRound({ config, sources: sources.offered, ...common }));
      await deliverDue({ channels, leaseSeconds: 60, gather: listMessage, ...common });
    } finally {
      await machinery.close();
    }
    const fresh = this.#smtp.messages.slice(this.#seen);
    this.#seen += fresh.length;
    // Several are on their way at once: who is first is no news.
    this.heard.push(...fresh.map((received) => heardAt(now, received)).toSorted(byReader));
  }
}

function written(
  { units, places, people, errorModel, config = {} }: Plot,
  at: { weather: string; port: number },
): Written {
  const email = { host: '127.0.0.1', port: at.port, security: 'none', from: 'drainby@example.org' };
  return {
    weather: {
      horizon: '7 d',
      sources: [{ id: 'meteo', kind: 'open-meteo', baseUrl: at.weather }],
      errorModel: errorModel ?? { kind: 'growing', members: 21 },
    },
    places: places ?? [CREEK],
    units: units ?? [fitting()],
    people: people ?? [ANN],
    delivery: { email },
    ...(typeof config === 'function' ? config(at.port) : config),
  };
}

/** One fitting in the open: quickly computed, split by 4.24 K·h below freezing. */
export function fitting(over: object = {}): object {
  return {
    id: 'blue',
    label: 'Blue trailer',
    place: 'creek',
    kind: 'travel-trailer',
    belly: 'open',
    heat: 'none',
    water: { state: 'in-use' },
    contacts: ['ann'],
    work: { keepWarm: '20 min', drain: '45 min', winterize: '90 min', travel: '40 min' },
    parts: { catalogue: false, own: [PROBE] },
    ...over,
  };
}

const header = (mail: ReceivedMail['mail'], name: string): string => {
  const value = mail.headers.get(name);
  return typeof value === 'string' ? value : '';
};

function heardAt(at: number, received: ReceivedMail): Heard {
  const { mail } = received;
  const startBy = header(mail, 'x-drainby-start-by');
  return {
    at,
    to: received.to.map((address) => address.split('@')[0]).join(','),
    kind: header(mail, 'x-drainby-kind'),
    unit: header(mail, 'x-drainby-unit'),
    action: header(mail, 'x-drainby-action'),
    startBy: /^\d{4}-/.test(startBy) ? seconds(startBy) : null,
    received,
  };
}

/** That it may have frozen is read first. */
function byReader(a: Heard, b: Heard): number {
  const [one, other] = [a, b].map(
    ({ to, kind, unit }) => `${to} ${kind === 'frozen' ? 0 : 1} ${kind} ${unit}`,
  );
  return (one ?? '') < (other ?? '') ? -1 : 1;
}

/** For whoever reads a failed story: `2026-11-24T05:00:00Z ann act drain, by …: Drain Blue trailer`. */
function told({ at, to, kind, action, startBy, received }: Heard): string {
  const by = startBy === null ? '' : `, by ${iso(startBy)}`;
  return `  ${iso(at)} ${to}: ${kind} ${action}${by}: ${received.mail.subject ?? ''}`;
}

function expectOne(heard: Heard, due: Due, said: string): void {
  const span = `${due.kind} between ${due.from} and ${due.to}\n${said}`;
  expect(heard.at, span).toBeGreaterThanOrEqual(seconds(due.from));
  expect(heard.at, span).toBeLessThanOrEqual(seconds(due.to));
  if (due.action !== undefined) expect(heard.action, span).toBe(due.action);
  if (due.unit !== undefined) expect(heard.unit, span).toBe(due.unit);
  const text = (heard.received.mail.text ?? '').replaceAll(/\s+/g, ' ');
  for (const one of [due.says ?? []].flat()) expect(text, span).toMatch(one);
  if (due.saysNot !== undefined) expect(text, span).not.toMatch(due.saysNot);
  if (due.startBy === null) expect(heard.startBy, span).toBeNull();
  else if (due.startBy !== undefined) {
    expect(heard.startBy ?? Number.NaN, span).toBeGreaterThanOrEqual(seconds(due.startBy[0]));
    expect(heard.startBy ?? Number.NaN, span).toBeLessThanOrEqual(seconds(due.startBy[1]));
  }
}

/** Nobody gets more than three messages a day about one unit, short of those that never wait. */
function expectFew(heard: readonly Heard[]): void {
  const days = new Map<string, number>();
  for (const { at, to, unit, kind } of heard) {
    if (kind === 'late' || kind === 'frozen') continue;
    const day = `${DateTime.fromSeconds(at, { zone: CREEK.timeZone }).toISODate()} ${to} ${unit}`;
    days.set(day, (days.get(day) ?? 0) + 1);
  }
  expect([...days].filter(([, count]) => count > 3)).toEqual([]);
}
