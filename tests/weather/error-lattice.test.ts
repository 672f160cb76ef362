/**
 * The fixed errors against the law drawn by chance (tests/support/law-errors.ts, seeded): what they make of any single
 * lead, of a night, and how they remember themselves. The bounds are those of so few members, rounded up; a share of
 * one member among 51 is 2 points. Measured before and after in docs/decisions.md.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { standardErrors } from '../../src/weather/error-lattice.ts';
import { lawErrors } from '../support/law-errors.ts';
import { Random } from '../support/random.ts';

const HOURS = 193;
const DRAWN = 15_000;

interface Bounds {
  readonly members: number;
  readonly single: number;
  readonly night: number;
  readonly memory: number;
}
const BOUNDS: readonly Bounds[] = [
  { members: 51, single: 0.065, night: 0.065, memory: 0.06 },
  { members: 101, single: 0.045, night: 0.045, memory: 0.04 },
  { members: 401, single: 0.03, night: 0.03, memory: 0.035 },
];

type Course = ArrayLike<number>;
let law: readonly Course[];

beforeAll(() => {
  const random = new Random(11);
  law = Array.from({ length: DRAWN }, () => lawErrors(random, HOURS, { atStartK: 1, perDayK: 0 }));
});

/** Those for which something holds; an error of exactly 0 at a limit of 0 counts half. */
function shareOf(courses: readonly Course[], holds: (course: Course) => boolean): number {
  return courses.filter(holds).length / courses.length;
}

const LIMITS = [-2.5, -2, -1.5, -1, -0.5, 0.5, 1, 1.5, 2, 2.5];

describe.each(BOUNDS)('$members errors', ({ members, single, night, memory }) => {
  const lattice = standardErrors(members, HOURS);

  it('resolve the law at every single lead', () => {
    for (let hour = 0; hour < HOURS; hour++) {
      for (const limit of LIMITS) {
        const below = (course: Course): boolean => course[hour]! < limit;
        expect(Math.abs(shareOf(lattice, below) - shareOf(law, below))).toBeLessThan(single);
      }
    }
  });

  it('resolve the coldest hour of every night of the week', () => {
    for (let evening = 0; evening + 14 < HOURS; evening += 12) {
      for (const lowC of [-2, -1, 0.5, 1, 1.5, 2.5, 4]) {
        // A night that is `lowC` at its seventh hour, 4 K warmer at its ends, under the default law.
        const freezes = (course: Course): boolean => {
          for (let i = 0; i <= 14; i++) {
            const deviation = 1 + (0.3 * (evening + i)) / 24;
            if (lowC + 4 * ((i - 7) / 7) ** 2 + deviation * course[evening + i]! < 0) return true;
          }
          return false;
        };
        expect(Math.abs(shareOf(lattice, freezes) - shareOf(law, freezes))).toBeLessThan(night);
      }
    }
  });

  it('remember themselves as the law does', () => {
    for (const lag of [12, 24, 36, 48, 72]) {
      const together = (courses: readonly Course[]): number => {
        let sum = 0;
        for (const course of courses)
          for (let hour = 0; hour + lag < HOURS; hour++) sum += course[hour]! * course[hour + lag]!;
        return sum / courses.length / (HOURS - lag);
      };
      expect(Math.abs(together(lattice.slice(1)) - together(law))).toBeLessThan(memory);
    }
  });
});
