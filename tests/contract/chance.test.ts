/** Chances are weights, and the deadline is a quantile of known damage times, through the whole of `check`. */
import { getTimes } from 'suncalc';
import { describe, expect, it } from 'vitest';
import { seconds } from '../support/instants.ts';
import { CREEK, checkAt, configOf, jsonOf, probeUnit, scenario } from '../support/scenario.ts';

const START = '2026-12-01T18:00:00Z';
const HOURS = 121;
const MINUTE = 60;
const HOUR = 3600;

interface Member {
  readonly weight: number;
  readonly temperatureC: readonly number[];
}

const constant = (temperatureC: number): number[] => Array.from({ length: HOURS }, () => temperatureC);

/** Some freeze at once at a temperature of their own, the rest stay mild. */
function members(freezing: number, weight: (index: number) => number): Member[] {
  return Array.from({ length: 20 }, (_, i) => ({
    weight: weight(i),
    temperatureC: i < freezing ? constant(-4 - i / 10) : constant(5 + i / 10),
  }));
}

async function answerFor(list: readonly Member[], over: object = {}, part: object = {}) {
  const config = scenario(configOf({ series: 'series.json', units: [probeUnit({}, part)], ...over }), {
    'series.json': jsonOf(START, list),
  });
  const [unit] = (await checkAt(config, START)).units;
  if (!unit?.advice) throw new Error('no advice');
  return { ...unit, advice: unit.advice };
}

describe('the chance of damage', () => {
  for (const k of [1, 2, 5, 13, 20]) {
    it(`is exactly the weight of the ${k} of 20 members that freeze`, async () => {
      const unit = await answerFor(members(k, () => 1));
      expect(unit.chanceOfDamage?.nothing).toBe(k / 20);
      expect(unit.parts?.[0]?.chanceOfDamage).toBe(k / 20);
    });

    it(`is exactly the weight of the ${k} of 20 members of unequal weight that freeze`, async () => {
      const unit = await answerFor(members(k, (i) => 1 + (i % 7)));
      const weights = Array.from({ length: 20 }, (_, i) => 1 + (i % 7));
      const sum = (list: readonly number[]): number => list.reduce((all, w) => all + w, 0);
      expect(unit.chanceOfDamage?.nothing).toBeCloseTo(sum(weights.slice(0, k)) / sum(weights), 9);
    });
  }

  it('is 0 where none does, and the advice is nothing', async () => {
    const unit = await answerFor(members(0, () => 1));
    expect(unit.chanceOfDamage?.nothing).toBe(0);
    expect(unit.advice).toMatchObject({ action: 'nothing', reasonCode: 'no-freeze', startBy: null });
    expect(unit.firstDamage).toMatchObject({ earliest: null, deadlineAt: null, median: null });
  });

  it('is within 5 % at one member of 20, and beyond at two', async () => {
    expect((await answerFor(members(1, () => 1))).advice.action).toBe('nothing');
    expect((await answerFor(members(2, () => 1))).advice.action).not.toBe('nothing');
  });

  it('does not change when every member comes twice, nor does anything else', async () => {
    const once = members(5, (i) => 1 + (i % 3));
    expect(await answerFor([...once, ...once])).toEqual(await answerFor(once));
    expect(await answerFor(once.flatMap((m) => [m, m]))).toEqual(await answerFor(once));
  });
});

/** 2 kg, 0.5 W/K, 10 °C at first: m·c/G·ln((10 − T)/−T) + 0.2·m·L/(G·−T) at constant T below zero. */
const HEAVY = { water: '2 kg', conductance: '0.5 W/K', startTemperature: '10 °C', pocket: true };

function damagedAfterS(temperatureC: number): number {
  const cooling = ((2 * 4200) / 0.5) * Math.log((10 - temperatureC) / -temperatureC);
  return cooling + (0.2 * 2 * 333_550) / (0.5 * -temperatureC);
}

/** The temperature at which the heavy part is damaged after so many hours. */
function temperatureFor(hours: number): number {
  let [cold, warm] = [-200, -0.1];
  for (let i = 0; i < 100; i++) {
    const middle = (cold + warm) / 2;
    if (damagedAfterS(middle) < hours * HOUR) cold = middle;
    else warm = middle;
  }
  return cold;
}

interface Rule {
  readonly deadlineAt: number;
  readonly workMinutes: number;
  readonly travelMinutes: number;
  readonly site: { readonly latitude: number; readonly longitude: number };
  readonly aboveFreezing: boolean;
}

/** The rule by stepping minutes: daylight and warmth, else daylight, else any hour; at most 36 h earlier. */
function startByRule({ deadlineAt, workMinutes, travelMinutes, site, aboveFreezing }: Rule) {
  const latest = deadlineAt - MINUTE * (120 + workMinutes + travelMinutes);
  const isDay = (at: number): boolean =>
    [-1, 0, 1].some((day) => {
      const of = getTimes(new Date((at + day * 86_400) * 1000), site.latitude, site.longitude);
      return (
        of.sunrise !== null &&
        of.sunset !== null &&
        of.sunrise.getTime() <= at * 1000 &&
        at * 1000 <= of.sunset.getTime()
      );
    });
  const earliest = Math.max(seconds(START), latest - 36 * HOUR);
  for (let start = latest; start >= earliest; start -= MINUTE) {
    const from = start + travelMinutes * MINUTE;
    // A day's light has no gap, so its ends decide.
    if (isDay(from) && isDay(from + workMinutes * MINUTE)) {
      const sameDay = isDay(from + (workMinutes * MINUTE) / 2);
      if (sameDay) return { startBy: start, boundBy: aboveFreezing ? 'daylight-and-thaw' : 'daylight' };
    }
  }
  return { startBy: latest, boundBy: 'deadline' };
}

/** Work of every action alike, so that the time does not hang on which one it is. */
const WORK = { keepWarm: '60 min', drain: '60 min', winterize: '60 min', travel: '30 min' };

interface Timed {
  /** Hours from now at which the members are damaged. */
  readonly damaged: readonly number[];
  /** The rest of the twenty stay at +5. */
  readonly tolerance?: number;
  readonly latitude?: number;
  readonly policy?: object;
}

async function timed({ damaged, tolerance = 0.05, latitude = CREEK.latitude, policy = {} }: Timed) {
  const list = Array.from({ length: 20 }, (_, i) => ({
    weight: 1,
    temperatureC: constant(damaged[i] === undefined ? 5 : temperatureFor(damaged[i])),
  }));
  const config = configOf({
    series: 'series.json',
    units: [probeUnit({ work: WORK }, HEAVY)],
    places: [{ ...CREEK, latitude }],
    policy: { tolerance: { nothing: tolerance }, ...policy },
  });
  const loaded = scenario(config, { 'series.json': jsonOf(START, list) });
  const [unit] = (await checkAt(loaded, START)).units;
  if (!unit?.advice || unit.advice.startBy === null) throw new Error('no start-by time');
  return { unit, advice: unit.advice, startBy: seconds(unit.advice.startBy) };
}

/** Twenty times from `first` hours on, the step growing, in no order. */
const spread = (first: number): number[] =>
  Array.from({ length: 20 }, (_, i) => first + 0.9 * ((i * 7) % 20) + 0.04 * ((i * 7) % 20) ** 2);

describe('twenty known damage times', () => {
  for (const first of [9, 14, 19.5, 26, 33, 47]) {
    for (const tolerance of [0.05, 0.12, 0.3]) {
      it(`from ${first} h on, tolerance ${tolerance}: the start-by time is the rule’s to 5 minutes`, async () => {
        const damaged = spread(first);
        const { unit, advice, startBy } = await timed({ damaged, tolerance });
        const q = Math.min(0.1, tolerance / 2);
        // The quantile: the time by which at least q of twenty are damaged.
        const nth = Math.ceil(q * 20 - 1e-9);
        const deadlineAt = seconds(START) + damaged.toSorted((x, y) => x - y)[nth - 1]! * HOUR;
        expect(unit.firstDamage?.deadlineQuantile).toBeCloseTo(q, 12);
        expect(Math.abs(seconds(unit.firstDamage?.deadlineAt ?? '') - deadlineAt)).toBeLessThan(2);
        const rule = startByRule({
          deadlineAt,
          workMinutes: 60,
          travelMinutes: 30,
          site: CREEK,
          aboveFreezing: false,
        });
        expect(advice.boundBy).toBe(rule.boundBy);
        expect(advice.late).toBe(false);
        expect(Math.abs(startBy - rule.startBy)).toBeLessThan(5 * MINUTE);
      });
    }
  }

  it('of which a few freeze and most stay mild: work is moved into daylight and air above freezing', async () => {
    const damaged = [40, 41, 42, 43, 44, 45];
    const { advice, startBy } = await timed({ damaged });
    const deadlineAt = seconds(START) + 40 * HOUR;
    const rule = startByRule({
      deadlineAt,
      workMinutes: 60,
      travelMinutes: 30,
      site: CREEK,
      aboveFreezing: true,
    });
    expect(advice.boundBy).toBe('daylight-and-thaw');
    expect(Math.abs(startBy - rule.startBy)).toBeLessThan(5 * MINUTE);
  });

  it('in the polar night: any hour will do', async () => {
    const { advice, startBy } = await timed({ damaged: spread(40), latitude: 78.2 });
    expect(advice).toMatchObject({ boundBy: 'deadline', late: false });
    expect(Math.abs(startBy - seconds(START) - (40 - 3.5) * HOUR)).toBeLessThan(5 * MINUTE);
  });

  it('too near for the work: the time is past, and late', async () => {
    const { advice, startBy } = await timed({ damaged: spread(3) });
    expect(advice).toMatchObject({ boundBy: 'deadline', late: true });
    expect(Math.abs(startBy - seconds(START) - (3 - 3.5) * HOUR)).toBeLessThan(5 * MINUTE);
  });

  it('for a person to whom daylight does not matter', async () => {
    const { advice, startBy } = await timed({ damaged: spread(33), policy: { daylight: false } });
    expect(advice.boundBy).toBe('deadline');
    expect(Math.abs(startBy - seconds(START) - (33 - 3.5) * HOUR)).toBeLessThan(5 * MINUTE);
  });

  it('beyond the window: no advice, and the damage is told all the same', async () => {
    const list = Array.from({ length: 20 }, () => ({
      weight: 1,
      temperatureC: constant(temperatureFor(90)),
    }));
    const unit = await answerFor(list, {}, HEAVY);
    expect(unit.advice.action).toBe('nothing');
    expect(unit.chanceOfDamage?.nothing).toBe(0);
    expect(Math.abs(seconds(unit.firstDamage?.deadlineAt ?? '') - seconds(START) - 90 * HOUR)).toBeLessThan(
      2,
    );
  });
});
