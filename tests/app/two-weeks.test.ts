/**
 * Two weeks of hourly rounds on a virtual clock, with a real database and three services on the loopback interface: the
 * first is dead from the second day on, the second fails in half of the hours, the third stands still for four days, and
 * for thirty hours nobody says anything that can be used. Which of them could be believed when is computed here, from
 * the script alone.
 */
import { readFileSync } from 'node:fs';
import { expect, it, onTestFinished } from 'vitest';
import { mark } from '../../src/app/mark.ts';
import { once, type OnceResult } from '../../src/app/once.ts';
import type { Config } from '../../src/config/config.ts';
import { sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import { Random } from '../support/random.ts';
import { ANN, configOf, probeUnit, scenario } from '../support/scenario.ts';
import { FARM_PLACE, metNorwayReply, nwsReply, openMeteoReply } from '../support/three-services.ts';
import { startWeatherServer, type WeatherHandler, type WeatherReply } from '../support/weather-server.ts';

const HOUR = 3600;
const START = seconds('2026-01-05T00:20:00Z');
const ROUNDS = 14 * 24;
const at = (round: number): number => START + round * HOUR;

/** Rounds from the first of one day to the last of another, counted from 1. */
const days = (from: number, to: number) => ({ from: (from - 1) * 24, to: to * 24 });
const within = (round: number, { from, to }: { from: number; to: number }): boolean =>
  round >= from && round < to;

const MET_STILL = days(6, 9);
const ALL_BAD = { from: days(10, 10).from, to: days(10, 10).from + 30 };
/** The second is out for longer here: once with the third to stand in for it, once without. */
const NWS_OUT = [days(4, 4), { from: days(8, 8).from, to: days(8, 8).from + 15 }, ALL_BAD];
const COLD = { from: 270, to: 283 };

/** Mild but for one night of −7 °C, which no warm forecast of an old day may hide. */
function airC(instant: number): number {
  const round = (instant - Math.floor(START / HOUR) * HOUR) / HOUR;
  if (within(round, COLD)) return -7;
  return 8 - 4 * Math.cos((2 * Math.PI * (round - 21)) / 24);
}
const WARM = (): number => 15;

const FAULTS = ['500', '503', '403', 'reset', 'stale'] as const;
type Fault = (typeof FAULTS)[number];

/** What the second service does in each round: null is a good answer. */
function flapping(): readonly (Fault | null)[] {
  const random = new Random(4);
  return Array.from({ length: ROUNDS }, (_, round) => {
    const fault = random.chance(0.5) ? random.pick(FAULTS) : null;
    return NWS_OUT.some((out) => within(round, out)) ? (fault ?? '503') : fault;
  });
}
const FLAPS = flapping();

const PROBLEMS: Readonly<Record<'500' | '503' | '403', string>> = {
  '500': '500_UnexpectedProblem.problem.json',
  '503': '503_ForecastGridExpired.problem.json',
  '403': '403_akamai_access_denied.html',
};

function problem(status: keyof typeof PROBLEMS): WeatherReply {
  const type = status === '403' ? 'text/html' : 'application/problem+json';
  const body = readFileSync(sharedPath(`recordings/nws/problems/${PROBLEMS[status]}`), 'utf8');
  return { status: Number(status), headers: { 'content-type': type }, body };
}

type Handlers = Readonly<Record<'meteo' | 'nws' | 'met', WeatherHandler>>;

function services(round: () => number): Handlers {
  const told = () => ({ airC, now: at(round()), issuedAt: at(round()) - 900 });
  return {
    meteo: (request) => (round() < 24 ? openMeteoReply(request, told()) : { drop: 'before' }),
    nws: (request) => {
      const fault = FLAPS[round()] ?? null;
      if (fault === 'reset') return { drop: 'before' };
      if (fault === 'stale')
        return nwsReply(request, { airC: WARM, now: at(round()), issuedAt: at(round()) - 72 * HOUR });
      return fault === null ? nwsReply(request, told()) : problem(fault);
    },
    met: (request) => {
      if (within(round(), ALL_BAD))
        return { status: 503, headers: { 'content-type': 'text/html' }, body: '<h1>' };
      if (!within(round(), MET_STILL)) return metNorwayReply(request, told());
      const still = at(MET_STILL.from - 1);
      return metNorwayReply(request, { airC: WARM, now: at(round()), issuedAt: still - 900 });
    },
  };
}

const LIMIT_HOURS = { meteo: 12, nws: 12, met: 18 } as const;
type Source = keyof typeof LIMIT_HOURS;
const SOURCES = ['meteo', 'nws', 'met'] as const satisfies readonly Source[];

/** When the answer was made that each source gives in a round, good enough to be kept; null: none. */
function madeAt(source: Source, round: number): number | null {
  if (source === 'meteo') return round < 24 ? at(round) : null;
  if (source === 'nws') return FLAPS[round] === null ? at(round) - 900 : null;
  if (within(round, ALL_BAD)) return null;
  return at(within(round, MET_STILL) ? MET_STILL.from - 1 : round) - 900;
}

interface Expected {
  readonly source: Source | null;
  readonly ageHours: number;
}

/** By the script: the first source whose newest good answer is younger than its limit. */
function expected(): readonly Expected[] {
  const newest = new Map<Source, number>();
  return Array.from({ length: ROUNDS }, (_, round) => {
    for (const source of SOURCES) {
      const made = madeAt(source, round);
      if (made !== null) newest.set(source, made);
    }
    const ageHours = (source: Source): number => (at(round) - (newest.get(source) ?? -Infinity)) / HOUR;
    const source = SOURCES.find((one) => ageHours(one) <= LIMIT_HOURS[one]) ?? null;
    return { source, ageHours: source === null ? Number.NaN : ageHours(source) };
  });
}

async function farm(round: () => number): Promise<Config> {
  const handlers = services(round);
  const sources = [];
  for (const [id, kind] of [
    ['meteo', 'open-meteo'],
    ['nws', 'nws'],
    ['met', 'met-norway'],
  ] as const) {
    const server = await startWeatherServer(handlers[id]);
    onTestFinished(() => server.close());
    sources.push({ id, kind, baseUrl: server.url, staleAfter: `${LIMIT_HOURS[id]} h` });
  }
  const weather = {
    horizon: '5 d',
    contact: 'ann@example.org',
    sources,
    errorModel: { kind: 'growing', members: 11 },
  };
  const around = configOf({ units: [probeUnit({ place: 'farm' })], places: [FARM_PLACE], people: [ANN] });
  return scenario({ ...around, weather }, {});
}

const QUIET = { info: () => undefined, warn: () => undefined, error: () => undefined };

async function roundOf(config: Config, round: number): Promise<OnceResult> {
  const patience = { random: () => 0.5, sleep: async () => undefined };
  const surroundings = { env: {}, write: () => undefined, patience };
  const { signal } = new AbortController();
  return await once({ config, surroundings, now: () => at(round), signal, log: QUIET });
}

/** What one round ended with: the source that its advice rests on and the age of that, and the exit code. */
interface Seen {
  readonly round: number;
  readonly source: string | null;
  readonly ageHours: number;
  readonly action: string | null;
  readonly exit: number;
}

function seenIn({ outcome, exit }: OnceResult, round: number): Seen {
  const { places, units } = outcome.evaluation;
  const outlook = places[0]?.outlook ?? null;
  const made = outlook === null ? Number.NaN : (outlook.issuedAt ?? outlook.fetchedAt);
  const action = units[0]?.assessment?.advice.action ?? null;
  return { round, source: outlook?.source ?? null, ageHours: (at(round) - made) / HOUR, action, exit };
}

/** A message that went out in this round. */
interface Sent {
  readonly round: number;
  readonly what: string;
  readonly text: string;
}

function sentIn({ outcome, delivery }: OnceResult, round: number): readonly Sent[] {
  if (delivery.sent === 0) return [];
  expect(delivery.sent).toBe(1);
  return outcome.messages.map(({ kind, action, text }) => ({ round, what: `${kind} ${action}`, text }));
}

/** The person winterizes when the forecast is back, well before the time to start by. */
const WORK_AT = 250;

async function work(config: Config): Promise<void> {
  const how = { circuits: [], method: 'antifreeze', quality: null, concentrationPercent: 50 } as const;
  const when = { at: at(WORK_AT), now: at(WORK_AT), by: null };
  await mark({ config, unit: 'blue', state: 'winterized', ...how, ...when });
}

async function watch(): Promise<{ readonly seen: readonly Seen[]; readonly sent: readonly Sent[] }> {
  let round = 0;
  const config = await farm(() => round);
  const [seen, sent]: [Seen[], Sent[]] = [[], []];
  for (; round < ROUNDS; round += 1) {
    if (round === WORK_AT) await work(config);
    const result = await roundOf(config, round);
    seen.push(seenIn(result, round));
    sent.push(...sentIn(result, round));
  }
  return { seen, sent };
}

const TOLD_AFTER_HOURS = Math.max(...Object.values(LIMIT_HOURS));

/** By the script: the round in which the loss is told, and the one in which there is a forecast again. */
function lossOf(want: readonly Expected[]): { readonly told: number; readonly back: number } {
  const lost = want.findIndex(({ source }, round) => source === null && within(round, ALL_BAD));
  const made = at(lost - 1) - want[lost - 1]!.ageHours * HOUR;
  const told = want.findIndex((_, round) => at(round) - made >= TOLD_AFTER_HOURS * HOUR && round >= lost);
  return { told, back: want.findIndex(({ source }, round) => source !== null && round > lost) };
}

function countBy<T>(all: readonly T[], key: (one: T) => string): Readonly<Record<string, number>> {
  const counts: Record<string, number> = {};
  for (const one of all) counts[key(one)] = (counts[key(one)] ?? 0) + 1;
  return counts;
}

it(
  'every advice rests on a forecast younger than its limit or is unknown, and people hear of it once',
  { timeout: 300_000 },
  async () => {
    const want = expected();
    const { seen, sent } = await watch();
    const by = countBy(seen, ({ source }) => source ?? 'unknown');
    process.stdout.write(
      `two weeks: ${seen.length} rounds, ${JSON.stringify(by)}; ${sent.map(({ round, what }) => `${what} (${round})`).join(', ')}\n`,
    );
    expect(seen.map(({ source }) => source)).toEqual(want.map(({ source }) => source));
    for (const { round, source, ageHours, action, exit } of seen) {
      expect([round, action === null, exit]).toEqual([round, source === null, source === null ? 3 : 0]);
      if (source === null) continue;
      expect(ageHours, `round ${round}`).toBeCloseTo(want[round]!.ageHours, 3);
      expect(ageHours, `round ${round}`).toBeLessThanOrEqual(LIMIT_HOURS[source as Source]);
    }
    // The script itself reaches all of it: each source, a loss that is told, and one that is too short for that.
    expect(Object.keys(by).toSorted()).toEqual(['met', 'meteo', 'nws', 'unknown']);
    const short = want.filter(({ source }, round) => source === null && !within(round, ALL_BAD));
    expect(short.length).toBeGreaterThan(0);

    const loss = lossOf(want);
    expect(sent.map(({ what }) => what)).toEqual([
      'heads-up nothing',
      // Once more with its work, as the cold comes into the window.
      'heads-up nothing',
      // As soon as a member freezes within the window; draining a probe that stays full would bring nothing.
      'act winterize',
      'no-forecast winterize',
      'act winterize',
      'all-clear nothing',
    ]);
    const [headsUp, , act, blind, back, clear] = sent.map(({ round }) => round);
    // Told five days ahead, and advised three days ahead: the defaults of headsUp and policy.window.
    expect([headsUp! > COLD.from - 121, act! > COLD.from - 73]).toEqual([true, true]);
    expect([blind, back]).toEqual([loss.told, loss.back]);
    expect(clear).toBeGreaterThanOrEqual(COLD.to - 2);
    // Story 24 of trade-defaults.md: −7 °C are 19.4 °F.
    expect(sent[3]?.text).toMatch(/last known low is 19 °F[^.]*act on it/s);
    expect(sent[4]?.text).toContain('The forecast is back.');
  },
);
