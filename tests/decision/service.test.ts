/** When a place's service ends. Instants by the calendar and the offsets of the zone (MST is UTC−7, MDT UTC−6). */
import { describe, expect, it } from 'vitest';
import { closingsOf, type Closings, type ServiceAir, type ServiceTerms } from '../../src/decision/service.ts';
import { iso, seconds } from '../support/instants.ts';

const NOW = '2026-11-10T19:00:00Z';
const HOUR = 3600;
const OPEN: ServiceTerms = {
  water: { on: null, belowC: null },
  dump: { on: null, belowC: null },
  opensOn: null,
  atMinute: 0,
};
const ON = { year: 2026, month: 11, day: 15 };

/** Hourly from 72 h before now. */
function air(...courses: readonly ((hour: number) => number)[]): ServiceAir {
  const members = courses.map((course) => ({
    weight: 1 / courses.length,
    temperatureC: Array.from({ length: 240 }, (_, i) => course(i - 72)),
  }));
  return { firstHour: seconds(NOW) - 72 * HOUR, members, middle: 0 };
}

function closings(terms: Partial<ServiceTerms>, of: ServiceAir | null = null, now = NOW): Closings {
  return closingsOf({
    terms: { ...OPEN, ...terms },
    timeZone: 'America/Denver',
    air: of,
    now: seconds(now),
    until: seconds(now) + 72 * HOUR,
  });
}

function shown({ water }: Closings): object | null {
  if (water === null) return null;
  const { at, opensAt, because } = water;
  return { at: iso(at), opensAt: opensAt === null ? null : iso(opensAt), because };
}

describe('a date', () => {
  it('holds from the start of its day at the place, or from the hour given', () => {
    const water = { on: ON, belowC: null };
    expect(shown(closings({ water }))).toEqual({
      at: '2026-11-15T07:00:00Z',
      opensAt: null,
      because: 'date',
    });
    expect(shown(closings({ water, atMinute: 8 * 60 }))).toMatchObject({ at: '2026-11-15T15:00:00Z' });
  });

  it('holds without a forecast, and for water and dump apart', () => {
    const found = closings({ dump: { on: ON, belowC: null } });
    expect(found.water).toBeNull();
    expect(found.dump).toMatchObject({ at: seconds('2026-11-15T07:00:00Z') });
  });

  it('is over on the day on which it opens again, by summer time then', () => {
    const terms = { water: { on: ON, belowC: null }, opensOn: { year: 2027, month: 4, day: 1 } };
    expect(shown(closings(terms, null, '2027-03-31T00:00:00Z'))).toMatchObject({
      opensAt: '2027-04-01T06:00:00Z',
    });
    expect(shown(closings(terms, null, '2027-04-01T06:00:00Z'))).toBeNull();
  });
});

describe('a temperature', () => {
  const water = { on: null, belowC: -4 };
  const night = (hour: number): number => (hour >= 30 && hour < 40 ? -6 : 4);

  it('shuts it where the middle course comes down to it, between the hours, and until a whole warm day', () => {
    // From 4 °C at hour 29 to −6 °C at hour 30 it passes −4 °C after 0.8 h.
    expect(shown(closings({ water }, air(night)))).toEqual({
      at: iso(seconds(NOW) + 29.8 * HOUR),
      opensAt: iso(seconds(NOW) + 63 * HOUR),
      because: 'cold',
    });
  });

  it('shuts it where a third of the members are at or below it, not where fewer are', () => {
    const mild = (): number => 4;
    expect(shown(closings({ water }, air(mild, mild, night)))).toMatchObject({
      at: iso(seconds(NOW) + 30 * HOUR),
    });
    expect(shown(closings({ water }, air(mild, mild, mild, night)))).toBeNull();
  });

  it('has shut it already after a cold night, until a whole day was warmer', () => {
    const before = (since: number) => (hour: number) => (hour >= since - 10 && hour <= since ? -6 : 4);
    expect(shown(closings({ water }, air(before(-12))))).toMatchObject({
      at: iso(seconds(NOW) - 22.2 * HOUR),
      opensAt: iso(seconds(NOW) + 12 * HOUR),
    });
    expect(shown(closings({ water }, air(before(-24))))).toBeNull();
  });

  it('does not count beyond the window, nor without a forecast', () => {
    expect(
      shown(
        closings(
          { water },
          air((hour) => (hour > 80 ? -6 : 4)),
        ),
      ),
    ).toBeNull();
    expect(shown(closings({ water }, null))).toBeNull();
  });

  it('that shuts it before a date keeps it shut only where no warm day lies between', () => {
    const on = { year: 2026, month: 11, day: 14 };
    const opensOn = { year: 2027, month: 4, day: 1 };
    const both = { water: { on, belowC: -4 }, opensOn };
    expect(
      shown(
        closings(
          both,
          air((hour) => (hour >= 30 ? -6 : 4)),
        ),
      ),
    ).toMatchObject({
      because: 'cold',
      opensAt: '2027-04-01T06:00:00Z',
    });
    expect(shown(closings(both, air(night)))).toMatchObject({
      because: 'cold',
      opensAt: iso(seconds(NOW) + 63 * HOUR),
    });
  });
});
