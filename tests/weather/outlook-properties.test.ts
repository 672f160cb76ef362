/** What holds of every outlook, whatever a source gives: by chance, with fast-check. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SourceError } from '../../src/errors.ts';
import type { ForecastMember } from '../../src/weather/forecast.ts';
import { POOLING_K } from '../../src/weather/local-correction.ts';
import type { LocalRecord } from '../../src/weather/local-record.ts';
import { outlookOf, type OutlookRequest, type SourcedOutlook } from '../../src/weather/outlook.ts';
import { BENCH, LAW, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const HOURS = 97;
/** Few members suffice: the lattice has tests of its own. */
const FEW = { ...LAW, members: 7 };
const HOUR = 3600;

/** Weather with fronts and daily swings, by knots of 6 h. */
const course = fc
  .array(fc.double({ min: -12, max: 12, noNaN: true }), { minLength: 18, maxLength: 18 })
  .map((knots) =>
    Array.from({ length: HOURS }, (_, h) => {
      const [k, u] = [Math.floor(h / 6), (h % 6) / 6];
      // To the tenth, as services give it.
      return Math.round(10 * ((1 - u) * knots[k]! + u * knots[k + 1]!)) / 10;
    }),
  );

const air = fc.record({
  cloudPercent: fc.option(fc.constantFrom(0, 40, 100).map((c) => new Array<number>(HOURS).fill(c))),
  windSpeedMps: fc.option(fc.constantFrom(0, 2, 9).map((w) => new Array<number>(HOURS).fill(w))),
});

const member = fc
  .record({
    temperatureC: course,
    weight: fc.double({ min: 0.1, max: 5, noNaN: true }),
    air,
    model: fc.constantFrom(undefined, 'a', 'a', 'b'),
    step: fc.constantFrom(undefined, 1, 3, 6),
  })
  .map(({ temperatureC, weight, air: of, model, step }): Partial<ForecastMember> => {
    const stepHours = step === undefined ? {} : { stepHours: temperatureC.map(() => step) };
    return { temperatureC, weight, ...of, ...(model !== undefined && { model }), ...stepHours };
  });

const record = fc
  .record({
    bias: fc.double({ min: -4, max: 9, noNaN: true }),
    readings: fc.nat(60),
    ageDays: fc.double({ min: 0, max: 9, noNaN: true }),
    days: fc.nat(60),
    errorK: fc.double({ min: 0.1, max: 6, noNaN: true }),
    memberK: fc.double({ min: 0, max: 6, noNaN: true }),
  })
  .map(({ bias, readings, ageDays, days, errorK, memberK }): LocalRecord => ({
    biasK: new Array<number>(24).fill(bias),
    readings: new Array<number>(24).fill(readings),
    weighed: new Array<number>(24).fill(readings / 2),
    lastReadingAt: MIDNIGHT - ageDays * 86_400,
    spread: [0, 1, 3].map((leadDay) => ({ leadDay, days, errorK, memberK })),
  }));

const request = fc
  .record({
    members: fc.array(member, { minLength: 1, maxLength: 7 }),
    lie: fc.constantFrom(...(Object.keys(POOLING_K) as (keyof typeof POOLING_K)[])),
    gridElevationM: fc.option(fc.integer({ min: 400, max: 1600 })),
    nightBiasK: fc.constantFrom(0, 1, 3),
    record: fc.option(record),
    nowHour: fc.double({ min: 0, max: 60, noNaN: true }),
  })
  .map(({ members, lie, gridElevationM, nowHour, ...rest }): OutlookRequest => {
    const height = gridElevationM === null ? {} : { gridElevationM };
    const spot = { ...BENCH, lie, elevationM: 1000 };
    const now = MIDNIGHT + nowHour * HOUR;
    return requestFor(madeForecast(members, height), { spot, now, errorLaw: FEW, ...rest });
  });

/** The outlook, or the error that stands in its place. */
function outcome(of: OutlookRequest): SourcedOutlook | SourceError {
  try {
    return outlookOf(of);
  } catch (error) {
    if (error instanceof SourceError) return error;
    throw error;
  }
}

function withMembers(
  of: OutlookRequest,
  change: (members: readonly ForecastMember[]) => readonly ForecastMember[],
): OutlookRequest {
  return { ...of, forecast: { ...of.forecast, members: change(of.forecast.members) } };
}

/** By hour, members’ temperatures from the coldest up, which do not hang on the order of equals. */
function sorted({ members, hours }: SourcedOutlook): number[][] {
  return Array.from({ length: hours }, (_, h) =>
    members.map((m) => m.temperatureC[h]!).toSorted((a, b) => a - b),
  );
}

function meanAt({ members }: SourcedOutlook, h: number): number {
  return members.reduce((sum, m) => sum + m.weight * m.temperatureC[h]!, 0);
}

describe('every outlook', () => {
  it('has weights that sum to 1, no unknown value, and an origin for every hour', () => {
    fc.assert(
      fc.property(request, (of) => {
        const made = outcome(of);
        if (made instanceof SourceError) return;
        expect(made.members.reduce((sum, m) => sum + m.weight, 0)).toBeCloseTo(1, 9);
        expect(made.resolution).toBeGreaterThan(0);
        for (const m of made.members) {
          expect(m.temperatureC).toHaveLength(made.hours);
          for (const values of [m.temperatureC, m.windSpeedMps, m.groundC])
            expect(values.some(Number.isNaN)).toBe(false);
        }
        expect([...made.untaught.meanC, ...made.untaught.deviationK].some(Number.isNaN)).toBe(false);
        const known = made.stretches.filter((s) => s.what !== 'unknown');
        const told = known.reduce((sum, s) => sum + (s.to - s.from) / HOUR + 1, 0);
        expect(told).toBe(made.hours);
      }),
      { numRuns: 150 },
    );
  });

  it('is the same whatever the order of the members, but for their order', () => {
    fc.assert(
      fc.property(request, (of) => {
        const made = outcome(of);
        const other = outcome(withMembers(of, (members) => members.toReversed()));
        if (made instanceof SourceError || other instanceof SourceError) {
          expect(other).toBeInstanceOf(SourceError);
          return;
        }
        const [a, b] = [sorted(made), sorted(other)];
        expect(a).toHaveLength(b.length);
        a.forEach((row, h) => {
          row.forEach((t, k) => expect(Math.abs(t - b[h]![k]!)).toBeLessThan(1e-6));
          expect(meanAt(other, h)).toBeCloseTo(meanAt(made, h), 9);
        });
      }),
      { numRuns: 100 },
    );
  });

  it('is nowhere warmer for a forecast that is colder throughout', () => {
    fc.assert(
      fc.property(request, fc.double({ min: 0, max: 9, noNaN: true }), (of, by) => {
        const made = outcome(of);
        const colder = outcome(
          withMembers(of, (members) =>
            members.map((m) => ({ ...m, temperatureC: m.temperatureC.map((t) => t - by) })),
          ),
        );
        if (made instanceof SourceError || colder instanceof SourceError) {
          expect(colder).toBeInstanceOf(SourceError);
          return;
        }
        const [a, b] = [sorted(made), sorted(colder)];
        a.forEach((row, h) => row.forEach((t, k) => expect(b[h]![k]!).toBeLessThanOrEqual(t - by + 1e-6)));
      }),
      { numRuns: 100 },
    );
  });

  it('is nowhere warmer where a single forecast by the hour is colder in some hours', () => {
    const hours = fc.array(fc.constantFrom(0, 0, 0, 1, 4), { minLength: HOURS, maxLength: HOURS });
    fc.assert(
      fc.property(course, hours, (temperatureC, by) => {
        const of = (values: readonly number[]) =>
          outlookOf(requestFor(madeForecast([{ temperatureC: values }]), { errorLaw: FEW }));
        const made = of(temperatureC);
        const colder = of(temperatureC.map((t, h) => t - by[h]!));
        made.members.forEach((m, i) =>
          m.temperatureC.forEach((t, h) =>
            expect(colder.members[i]!.temperatureC[h]!).toBeLessThanOrEqual(t + 1e-9),
          ),
        );
      }),
      { numRuns: 60 },
    );
  });
});
