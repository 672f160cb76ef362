/** Start-by where cold slows the hands: 1.3 times below −5 °C, 1.6 below −12 °C (common practice); sums by hand. */
import { describe, expect, it } from 'vitest';
import { startByInCold, type StartByInColdRequest } from '../../src/decision/start-by-in-cold.ts';

const NOW = 1_795_000_000;
const H = 3600;

/** Air of 0 °C, and colder in spans of hours from now. */
function air(...spans: readonly (readonly [from: number, to: number, airC: number])[]) {
  return (from: number, to: number): number =>
    Math.min(
      0,
      ...spans.filter(([a, b]) => NOW + a * H < to && NOW + b * H > from).map(([, , airC]) => airC),
    );
}

/** Less margin of 2 h, work of 1 h and travel of half an hour: start at hour 44.5, work from 45 to 46. */
const REQUEST: StartByInColdRequest = {
  deadlineAt: NOW + 48 * H,
  workMinutes: 60,
  travelMinutes: 30,
  marginMinutes: 120,
  now: NOW,
  daylight: null,
  thawed: [],
  coldestAir: null,
};

function asked(over: Partial<StartByInColdRequest>) {
  const { startBy, ...rest } = startByInCold({ ...REQUEST, ...over });
  return { ...rest, startHour: startBy === null ? null : (startBy - NOW) / H };
}

const AS_STATED = { startHour: 44.5, workMinutes: 60, boundBy: 'deadline', late: false };

describe('work in the cold', () => {
  it('lasts as stated in any air where cold does not slow it', () => {
    expect(asked({})).toEqual(AS_STATED);
  });

  it('is slowed by the air of its own hours, not by that of the way there or of the margin', () => {
    expect(asked({ coldestAir: air([44.6, 44.9, -13]) })).toEqual(AS_STATED);
    expect(asked({ coldestAir: air([46.1, 60, -13]) })).toEqual(AS_STATED);
    expect(asked({ coldestAir: air([45.4, 45.6, -13]) })).toMatchObject({
      startHour: 43.9,
      workMinutes: 96,
      slowed: { factor: 1.6, airC: -13 },
    });
  });

  it('is slowed once more by colder air into which it has to begin earlier', () => {
    // 78 min begin at hour 44.7, where it is colder.
    expect(asked({ coldestAir: air([45, 46, -6], [44, 44.8, -14]) })).toMatchObject({
      startHour: 43.9,
      workMinutes: 96,
      slowed: { factor: 1.6, airC: -14 },
    });
  });

  it('stays slowed where the longer work falls into milder air, by daylight', () => {
    const daylight = [
      { start: NOW + 20 * H, end: NOW + 30 * H },
      { start: NOW + 45 * H, end: NOW + 46.2 * H },
    ];
    // 78 min no longer fit into the last light.
    expect(asked({ daylight, coldestAir: air([45, 47, -6]) })).toMatchObject({
      startHour: 28.2,
      workMinutes: 78,
      slowed: { factor: 1.3, airC: -6 },
      boundBy: 'daylight',
    });
  });

  it('that should have begun is done now, in the air after the way there', () => {
    const late = { deadlineAt: NOW + 3 * H, coldestAir: air([0, 0.4, -20], [0.6, 1, -6]) };
    expect(asked(late)).toMatchObject({ late: true, workMinutes: 78, slowed: { factor: 1.3, airC: -6 } });
  });

  it('has no time to start by without a deadline, and lasts as long as it would now', () => {
    expect(asked({ deadlineAt: null, coldestAir: air([0, 5, -6]) })).toEqual({
      startHour: null,
      boundBy: 'none',
      late: false,
      workMinutes: 78,
      slowed: { factor: 1.3, airC: -6 },
    });
  });
});
