/**
 * What a place's own readings do, through the command line and rounds with a real database: a thermometer in a hollow that
 * the config knows nothing of, sensors that are wrong, a sensor under a unit's floor, and what is scored by them.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import type { ExplainAnswer } from '../../src/app/explain-answer.ts';
import type { ScoreAnswer } from '../../src/app/score-answer.ts';
import { DAY, HOUR, setYard, skyService, type Yard } from '../app/score-setup.ts';
import { iso, seconds } from '../support/instants.ts';
import { temporaryDirectory } from '../support/temporary.ts';

/** Nine in the morning in Denver, when somebody reads the logger out. */
const START = seconds('2026-12-01T16:00:00Z');
const NIGHTS = 10;

type AirC = (at: number) => number;

/** Lowest at five in the morning, 12:00 UTC, highest twelve hours later, 8 K above. */
const air =
  (lowC: number): AirC =>
  (at) =>
    lowC + 4 - 4 * Math.cos((2 * Math.PI * ((at % DAY) / HOUR - 12)) / 24);
/** Does no harm. */
const MILD = air(1);

/** 4 K colder than that from 19:00 to 07:00 in Denver, and as forecast by day, with two hours between. */
function hollow(at: number): number {
  const hour = (at % DAY) / HOUR;
  const night = hour >= 2 && hour <= 14 ? 1 : hour === 1 || hour === 15 ? 0.5 : 0;
  return MILD(at) - 4 * night;
}

/** A yard whose forecasts, past and archive all say `airC`; readings are imported every morning, then a round runs. */
async function days(airC: AirC, reads: AirC | null, over?: Parameters<typeof setYard>[2]) {
  let now = START;
  const yard = await setYard(
    skyService({ truth: airC, errorK: () => 0 }, () => now),
    { kind: 'none' },
    over,
  );
  await yard.once(now);
  for (let day = 0; day < NIGHTS; day += 1) {
    now += DAY;
    if (reads !== null) await imported(yard, now, reads);
    await yard.once(now);
  }
  const later = async (after: number): Promise<number> => {
    now = START + NIGHTS * DAY + after;
    await yard.once(now);
    return now;
  };
  return { yard, now, later };
}

/** The last 24 hours as a logger writes them. */
async function imported(yard: Yard, now: number, reads: AirC, target = ['creek']): Promise<void> {
  const rows = Array.from({ length: 24 }, (_, i) => now - (23 - i) * HOUR);
  const file = join(temporaryDirectory(), 'logger.csv');
  const lines = rows.map((at) => `${iso(at)},${reads(at).toFixed(2)}`);
  writeFileSync(file, ['time,temperatureC', ...lines, ''].join('\n'));
  await yard.run(now, 'readings', ...target, '--import', file);
}

async function check(yard: Yard, now: number): Promise<CheckAnswer> {
  return JSON.parse(await yard.run(now, 'check', '--json')) as CheckAnswer;
}

const RED = {
  belly: 'enclosed',
  bellySkin: 'foil',
  length: '24 ft',
  attended: true,
  heat: { set: '20 °C', furnace: '8 kW', propane: '200 lb' },
};
const COLD = air(-8);

interface Belly {
  readonly capacityJPerK: number;
  readonly insideWPerK: number;
  readonly outsideWPerK: number;
}

/** Air under the floor between a cabin of 20 °C and the weather, C·dT/dt = G₁(20 − T) + G₂(air − T), minute by minute. */
function underFloor({ capacityJPerK, insideWPerK, outsideWPerK }: Belly): AirC {
  const from = START - 3 * DAY;
  const byMinute = [0];
  for (let i = 0; i < 8 * 24 * 60; i += 1) {
    const t = byMinute[i]!;
    const w = insideWPerK * (20 - t) + outsideWPerK * (COLD(from + i * 60) - t);
    byMinute.push(t + (60 * w) / capacityJPerK);
  }
  return (at) => byMinute[(at - from) / 60]!;
}

const actionIn = ({ units }: CheckAnswer): string | undefined => units[0]?.advice?.action;
const saidOf = ({ places }: CheckAnswer): string => places[0]?.forecast?.assumptions.join(' ') ?? '';

describe('a thermometer in a hollow, ten nights 4 K colder than the forecast', () => {
  it('turns nothing into something to do; a week after its last reading that is over, and both are said', async () => {
    const without = await days(MILD, null);
    expect(actionIn(await check(without.yard, without.now))).toBe('nothing');

    const { yard, now, later } = await days(MILD, hollow);
    const taught = await check(yard, now);
    expect(['drain', 'winterize']).toContain(actionIn(taught));
    expect(saidOf(taught)).toMatch(/are taken off the forecast, as 240 readings here taught/);
    const { biasK = [], readings } = taught.places[0]!.learned!;
    // By the hour of UTC, as made above.
    biasK.forEach((bias, hour) => expect(bias).toBeCloseTo(MILD(hour * HOUR) - hollow(hour * HOUR), 1));
    expect(readings).toEqual(Array(24).fill(NIGHTS));
    // Half of the bias is taken after five readings (src/weather/learned-bias.ts): two thirds after ten.
    const lowest = taught.units[0]?.zones?.['outside']?.['minimumC'];
    expect(lowest).toBeCloseTo(1 - (4 * NIGHTS) / (NIGHTS + 5), 1);

    const words = (await yard.run(now, 'explain', 'blue')).replaceAll(/\s+/g, ' ');
    // 4 K are 7.2 °F; 02:00 in Denver is 09:00 UTC.
    expect(words).toMatch(/What 240 readings here have taught: [^.]*.*02:00 7\.2 °F \(10\)/);
    expect(words).toMatch(/12:00 −?0 °F \(10\)/);

    const fading = await check(yard, await later(5 * DAY));
    expect(saidOf(fading)).toContain('they count less from day to day');
    const old = await check(yard, await later(7 * DAY + HOUR));
    expect(actionIn(old)).toBe('nothing');
    expect(saidOf(old)).toContain('too old, so what they taught about the forecasts is left out');
    expect(old.units[0]?.zones?.['outside']?.['minimumC']).toBe(1);
  });

  it('is what the place’s forecasts are scored by', async () => {
    const { yard, now } = await days(MILD, hollow);
    const text = await yard.score(now);
    expect(text).toMatch(/^Creek row: how good its forecasts and its advice were\./);
    expect(text).toContain('meteo against readings at the place, 2026-12-01 to 2026-12-11');
    const { forecasts } = JSON.parse(await yard.score(now, '--json')) as ScoreAnswer;
    const lead = forecasts.find(
      ({ source, truth, leadDay }) => source === 'meteo' && truth === 'readings' && leadDay === 7,
    );
    // Four days were forecast a week ahead, with none to three nights of readings taken off: n of n + 5. The night's
    // 56 K·h are in each of them, and of the last one 17 hours have passed.
    const left = 1 + 5 / 6 + 5 / 7 + 5 / 8;
    expect(lead).toMatchObject({ days: 4, hours: 3 * 24 + 17 });
    expect(lead?.biasK).toBeCloseTo((56 * left) / (3 * 24 + 17), 2);
    for (const line of text.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
  });
});

/** Weather that does harm, which a sensor that reads too warm must not hide, or none, which a cold one must not turn. */
const HARM = air(-3);
const WRONG: readonly (readonly [what: string, code: string, forecast: AirC, reads: AirC])[] = [
  [
    'in the sun',
    'sun',
    HARM,
    (at) => HARM(at) + ((at % DAY) / HOUR >= 16 && (at % DAY) / HOUR <= 22 ? 18 : 0),
  ],
  ['that is stuck', 'stuck', MILD, () => -4],
  ['in °F taken as °C', 'unit', HARM, (at) => HARM(at) * 1.8 + 32],
];

it.each(WRONG)(
  'a sensor %s is said and not believed: the advice is as without it',
  async (_what, code, forecast, reads) => {
    const without = await days(forecast, null);
    const plain = await check(without.yard, without.now);
    const { yard, now } = await days(forecast, reads);
    const answer = await check(yard, now);
    expect(answer.places[0]?.learned?.doubts.map((doubt) => doubt.code)).toEqual([code]);
    const [doubt] = answer.places[0]?.learned?.doubts ?? [];
    expect(saidOf(answer)).toContain(doubt?.message);
    expect(actionIn(answer)).toBe(actionIn(plain));
    expect(actionIn(answer)).toBe(forecast === MILD ? 'nothing' : 'winterize');
    const lowest = ({ units }: CheckAnswer): unknown => units[0]?.zones?.['outside']?.['minimumC'];
    expect(lowest(answer)).toBe(lowest(plain));
    const table = (await yard.run(now, 'check')).replaceAll(/\s+/g, ' ');
    expect(table).toContain(doubt?.message);
  },
);

it('a sensor under the floor tunes the belly skin of its unit, and that is said', async () => {
  let now = START;
  const service = skyService({ truth: COLD, errorK: () => 0 }, () => now);
  const yard = await setYard(service, { kind: 'none' }, { unit: RED });
  const network = async (): Promise<ExplainAnswer['network']> =>
    (JSON.parse(await yard.run(now, 'explain', 'blue', '--json')) as ExplainAnswer).network;
  const usual = await network();
  const usualSkin = skinOf(usual);
  // A skin that lets through three quarters of the usual: a foil's may let through from two thirds on.
  const belly = {
    capacityJPerK: usual.capacitiesJPerK['underbelly']!,
    insideWPerK: usual.conductancesWPerK['insideUnderbelly'] as number,
    outsideWPerK: 0.75 * usualSkin,
  };
  for (let day = 1; day <= 4; day += 1) {
    now = START + day * DAY;
    await imported(yard, now, underFloor(belly), ['blue', '--zone', 'underbelly']);
  }
  const said = (await check(yard, now)).units[0]?.assumptions.join(' ');
  expect(said).toMatch(
    /By \d+ hours of readings in Blue trailer by night, its belly skin as letting through 0\.7\d times/,
  );
  const share = skinOf(await network()) / usualSkin;
  // Held to the usual until many nights speak, so on its side of the truth.
  expect(share).toBeGreaterThan(0.74);
  expect(share).toBeLessThan(0.8);
});

function skinOf({ conductancesWPerK }: ExplainAnswer['network']): number {
  const skin = conductancesWPerK['underbellyOutside'];
  const [first] = Array.isArray(skin) ? skin : [skin];
  if (first === undefined) throw new Error('The unit has no belly skin.');
  return first;
}
