/** What goes along with the messages of real rounds: course and band, limit, episode, calendar, links. */
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, it } from 'vitest';
import { extraFacts, PlaceCourses } from '../../src/app/course-facts.ts';
import type { RoundOutcome } from '../../src/app/round.ts';
import type { Config } from '../../src/config/config.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, jsonOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-12-10T19:20:00Z';
const HOUR = 3600;
const FIRST = seconds('2026-12-10T19:00:00Z');

/** Members that stand one above the other, so that their order is plain. */
function fanned(weights: readonly number[]): string {
  const members = weights.map((weight, index) => ({
    weight,
    temperatureC: Array.from({ length: 172 }, (_, i) => index - 5 + (i % 24) / 24),
    windSpeedMps: Array.from({ length: 172 }, () => 2),
  }));
  return jsonOf(iso(FIRST - 72 * HOUR), members);
}

function configWith(text: string, unit: object = probeUnit(), more: object = {}): Config {
  const isJson = text.startsWith('{');
  const series = isJson ? 'series.json' : 'series.csv';
  return scenario({ ...configOf({ units: [unit], series }), ...more }, { [series]: text });
}

function extra(config: Config, { evaluation }: RoundOutcome) {
  const [unit] = evaluation.units;
  return extraFacts(unit!, { config, courses: new PlaceCourses(), now: seconds(NOW) });
}

it('eight of ten members lie in the band, by weight, and the hour that has begun is drawn whole', async () => {
  const config = configWith(fanned([0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1]));
  const outcome = await roundAt(config, NOW);
  const { course } = extra(config, outcome);
  const outlook = outcome.evaluation.places[0]!.outlook!;
  expect(course!.times[0]).toBe(FIRST);
  expect(course!.times.at(-1)).toBe(outlook.firstHour + (outlook.hours - 1) * HOUR);
  course!.times.forEach((at, i) => {
    const hour = (at - outlook.firstHour) / HOUR;
    const values = outlook.members.map((m) => m.temperatureC[hour]!);
    const within = values.filter((v) => v >= course!.lowC[i]! - 0.01 && v <= course!.highC[i]! + 0.01);
    expect(within.length).toBeGreaterThanOrEqual(8);
    // The coldest tenth lies at its edge, the warmest beyond it.
    expect(course!.lowC[i]).toBeCloseTo(Math.min(...values), 1);
    expect(course!.highC[i]).toBeCloseTo(values.toSorted((a, b) => b - a)[1]!, 1);
    expect(course!.middleC[i]).toBeCloseTo(outlook.members[outlook.middle]!.temperatureC[hour]!, 1);
  });
});

it('a heavy member is the band alone', async () => {
  const config = configWith(fanned([0.05, 0.9, 0.05]));
  const { course } = extra(config, await roundAt(config, NOW));
  expect(course!.lowC).toEqual(course!.highC);
});

it('nights are what daylight leaves of the span', async () => {
  const config = configWith(fanned([1]));
  const { course } = extra(config, await roundAt(config, NOW));
  // Sunset at 39.61 N 106.05 W on 10 December is about 16:45 MST, sunrise about 07:10 (from memory): within a half hour.
  const [night] = course!.nights;
  expect(Math.abs(night!.start - seconds('2026-12-10T23:45:00Z'))).toBeLessThan(HOUR / 2);
  expect(Math.abs(night!.end - seconds('2026-12-11T14:10:00Z'))).toBeLessThan(HOUR / 2);
});

it('the limit is the budget of the part that goes first, as the check has it', async () => {
  const config = configWith(csvOf({ start: iso(FIRST - 72 * HOUR), temperatureC: coldAhead() }));
  const { limit } = extra(config, await roundAt(config, NOW));
  const [unit] = (await checkAt(config, NOW)).units;
  const part = unit?.parts?.find(({ id }) => id === unit.firstPart);
  expect(limit).toMatchObject({ kind: 'ice', inWind: false });
  expect(limit?.kind === 'ice' ? limit.kelvinHours : Number.NaN).toBeCloseTo(
    Number(part?.budgetKelvinHours.blocked),
    2,
  );
});

it('the limit of what is drained is the rule of thumb, and the air round it is drawn where it is not outside', async () => {
  const unit = probeUnit(
    { water: { state: 'drained', quality: 'quick' }, belly: 'enclosed' },
    { zone: 'underbelly', pocket: false },
  );
  const config = configWith(csvOf({ start: iso(FIRST - 72 * HOUR), temperatureC: coldAhead() }), unit);
  const outcome = await roundAt(config, NOW);
  const { limit, course } = extra(config, outcome);
  expect(limit).toEqual({ kind: 'cold', atC: -4, hours: 6 });
  expect(course?.zone?.id).toBe('underbelly');
  const statistics = (await checkAt(config, NOW)).units[0]?.zones?.['underbelly'];
  expect(Math.min(...course!.zone!.temperatureC)).toBeCloseTo(Number(statistics?.['minimumC']), 1);
});

/** Mild for a day and a half from now, then hard. */
function coldAhead(): number[] {
  return Array.from({ length: 172 }, (_, i) => (i >= 108 ? -9 : 6));
}

it('a calendar entry goes out with the work and is taken back under the same uid when it is over', async () => {
  const config = configWith(csvOf({ start: iso(FIRST - 72 * HOUR), temperatureC: coldAhead() }));
  const [act] = (await roundAt(config, NOW)).messages;
  expect(act).toMatchObject({
    kind: 'act',
  });
  expect(act?.answers).toContain('on-my-way');
  expect(act?.line?.by).toMatch(/^\w{3} \d+ Dec, \d\d:\d\d MST$/);
  expect(act?.calendar).toMatchObject({ cancelled: false, start: act?.startBy, sequence: 0 });
  expect(act?.picture?.svg).toMatch(/^<svg /);
  expect(act?.text).toContain('drainby mark -c FILE');

  // Two forecasts that differ, six hours apart, must agree that it is over.
  const clear: OutgoingMessage[] = [];
  for (const [hours, airC] of [
    [13, 9],
    [20, 10],
    [27, 9.5],
  ] as const) {
    const temperatureC = Array.from({ length: 172 }, () => airC);
    const start = iso(FIRST + (hours - 72) * HOUR);
    writeFileSync(join(dirname(config.file), 'series.csv'), csvOf({ start, temperatureC }));
    clear.push(...(await roundAt(config, iso(seconds(NOW) + hours * HOUR))).messages);
  }
  expect(clear.map(({ kind }) => kind)).toEqual(['all-clear']);
  expect(clear[0]?.calendar).toMatchObject({ cancelled: true, uid: act?.calendar?.uid });
  expect(clear[0]!.calendar!.sequence).toBeGreaterThan(0);
});

it('links stand for answers where pages are served', async () => {
  const web = { listen: '127.0.0.1:8787', publicUrl: 'http://127.0.0.1:8787' };
  const csv = csvOf({ start: iso(FIRST - 72 * HOUR), temperatureC: coldAhead() });
  const [act] = (await roundAt(configWith(csv, probeUnit(), { web }), NOW)).messages;
  expect(act?.text).toContain('drainby-answer:on-my-way');
  expect(act?.text).not.toContain('drainby mark');
});
