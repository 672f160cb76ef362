/** What the kernel takes from memory for a member: its arrays are filled anew, none is made. */
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { NEVER_HEATED } from '../../src/model/heat-plan.ts';
import { RiskAssessor, type Scenario } from '../../src/model/risk.ts';
import type { Outlook } from '../../src/weather/outlook.ts';

const MEASURE = fileURLToPath(new URL('../bench/allocation.mjs', import.meta.url));

/**
 * A member goes through 456 hours, 6 zones and 30 parts: one object of 24 bytes for each hour of each zone would be
 * 66 kB, for each hour of each part 330 kB. What is left are numbers that the engine boxes: 3 to 50 kB, by what it
 * chooses to inline.
 */
const MOST_BYTES = 100_000;

describe('one more member', () => {
  it('makes no object for its hours: what it leaves to the garbage collector is little and bounded', () => {
    const flags = ['--expose-gc', '--min-semi-space-size=64', '--max-semi-space-size=64'];
    const printed = execFileSync(process.execPath, [...flags, MEASURE], { encoding: 'utf8' });
    const bytes = Object.entries(JSON.parse(printed) as Record<string, number>);
    expect(bytes).toHaveLength(4);
    for (const [name, left] of bytes) expect(left, name).toBeLessThan(MOST_BYTES);
  });

  it('goes through the same arrays as the members before it', () => {
    const unit = buildUnit({
      id: 'unit',
      kind: 'travel-trailer',
      lengthM: 7.3,
      slides: 1,
      belly: 'enclosed',
      skirting: 'none',
      hoseConnected: true,
      heat: null,
      network: null,
      parts: { catalogue: true, add: [], without: [], own: [] },
    });
    const water = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} } as const;
    const rule = { atC: -4, hours: 6 };
    const assessor = new RiskAssessor({ unit, outlook: outlookOf(40), water, now: 0, rule });
    const scenario: Scenario = { unit: null, plan: NEVER_HEATED, change: null, until: Infinity };
    const arraysOf = (member: number): readonly unknown[] => {
      const trace = assessor.trace(scenario, member);
      const zones = [...new Set(unit.parts.map((part) => part.zone))].map((zone) => trace.zone(zone));
      return [
        trace,
        trace.track.rows,
        ...zones,
        ...zones.map((air) => air.numbers),
        ...zones.map((air) => air.marks),
      ];
    };
    arraysOf(0);
    assessor.assess([scenario]);
    const before = arraysOf(39);
    assessor.assess([scenario, { ...scenario }]);
    const after = arraysOf(0);
    expect(after).toHaveLength(before.length);
    after.forEach((array, i) => expect(array).toBe(before[i]));
  });
});

/** Nights below freezing, each member's a little colder than the last. */
function outlookOf(members: number): Outlook {
  const hours = 97;
  const of = (value: (i: number) => number): Float64Array =>
    Float64Array.from({ length: hours }, (_, i) => value(i));
  return {
    source: 'made up',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    version: '1',
    firstHour: 0,
    endsAtHole: false,
    hours,
    members: Array.from({ length: members }, (_, m) => ({
      weight: 1 / members,
      temperatureC: of((i) => 1 - m / 20 + 7 * Math.cos((2 * Math.PI * i) / 24)),
      windSpeedMps: of((i) => 2 + Math.sin(i + m)),
      groundC: of(() => 3),
    })),
    middle: 0,
    resolution: 1 / members,
    assumptions: [],
  };
}
