/**
 * Members that share their past go through it once: what each then does is the same to the last bit as if it had been
 * asked alone. Units, weather, plans and water made up at random; the reference is a fresh assessor per member.
 */
import { describe, expect, it } from 'vitest';
import { NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { sharedHours } from '../../src/model/hourly-air.ts';
import { asTapsSee } from '../../src/model/no-water.ts';
import { RiskAssessor, type RiskRequest, type Scenario, type ScenarioRisk } from '../../src/model/risk.ts';
import { furnaceByHour, runPart, zoneAtHours, type Trace } from '../../src/model/trace.ts';
import { ZONES, type UnitModel } from '../../src/model/unit.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import type { Outlook, OutlookMember } from '../../src/weather/outlook.ts';
import { randomPlan, randomUnit, randomWeather } from '../support/random-unit.ts';
import { Random } from '../support/random.ts';

const HOUR = 3600;
const HOURS = 96;
const SEEDS = 24;
const WET: UnitWater = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} };
const DRAINED: UnitWater = {
  all: { state: { kind: 'drained', quality: 'quick' }, since: null, by: null },
  circuits: {},
};

function outlookOf(members: readonly OutlookMember[]): Outlook {
  return {
    source: 'made up',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    version: '1',
    firstHour: 0,
    endsAtHole: false,
    hours: members[0]!.temperatureC.length,
    members,
    middle: 0,
    resolution: 0.1,
    assumptions: [],
  };
}

function memberOf(random: Random): OutlookMember {
  const { temperatureC, groundC, windMps } = randomWeather(random, HOURS);
  return { weight: random.next(), temperatureC, groundC, windSpeedMps: windMps };
}

/** Members that part at one instant, each in all of its weather or in one kind only. */
function randomOutlook(random: Random): Outlook {
  const first = memberOf(random);
  const partsAt = random.pick([0, 1, 24, 47, HOURS - 1, random.whole(1, HOURS - 1)]);
  const others = Array.from({ length: 3 }, () => {
    const own = memberOf(random);
    const kinds = random.pick([
      ['temperatureC', 'groundC', 'windSpeedMps'],
      ['temperatureC'],
      ['groundC'],
      ['windSpeedMps'],
    ] as const);
    const changed: Partial<Pick<OutlookMember, (typeof kinds)[number]>> = Object.fromEntries(
      kinds.map((kind) => [kind, first[kind].map((v, i) => (i > partsAt ? own[kind][i]! : v))]),
    );
    return { ...first, weight: own.weight, ...changed };
  });
  return outlookOf([first, ...others]);
}

/** As made up, and with gas that is counted. */
function fuelled(random: Random, unit: UnitModel): UnitModel {
  if (unit.heat === null || random.chance(0.4)) return unit;
  const gas = { kg: random.between(1, 12), cylinderKg: 9.07, refilled: false };
  return { ...unit, heat: { ...unit.heat, gas } };
}

/** Several courses of action, of which some share their zones. */
function scenariosOf(random: Random, unit: UnitModel): Scenario[] {
  const never: HeatPlan = { ...NEVER_HEATED };
  const plans = [never, randomPlan(random, HOURS), randomPlan(random, HOURS)];
  const warmer = unit.heat === null ? unit : { ...unit, heat: { ...unit.heat, setC: unit.heat.setC + 2 } };
  return Array.from({ length: 6 }, () => ({
    unit: random.pick([null, null, asTapsSee(unit, WET), warmer]),
    plan: random.pick(plans),
    change: random.chance(0.5) ? { at: random.between(0, HOURS * HOUR), water: DRAINED } : null,
    until: random.pick([Infinity, HOURS * HOUR, random.between(0, HOURS * HOUR)]),
  }));
}

/** A member's row of a risk, with infinities and the sign of zero. */
function rowOf(risk: ScenarioRisk, row: number): readonly (readonly number[])[] {
  const parts = risk.partAt.length / risk.weights.length;
  return [
    [risk.weights[row]!, risk.firstAt[row]!, risk.firstPart[row]!, risk.lastBefore[row]!],
    [...risk.partAt.subarray(row * parts, (row + 1) * parts)],
  ];
}

/** All that people are shown of a trace. */
function seen(trace: Trace): unknown {
  const { track, unit } = trace;
  return {
    zones: ZONES.map((zone) => zoneAtHours(trace, zone)),
    furnace: furnaceByHour(trace),
    supplies: track.supply.slice(0, track.count),
    out: [track.gasOutS, track.gasShortS, track.batteryOutS],
    parts: unit.parts.map((part) => runPart(trace, { part, wetSince: null })),
  };
}

interface Asked {
  readonly request: RiskRequest;
  readonly scenarios: readonly Scenario[];
}

function askedOf(seed: number): Asked {
  const random = new Random(seed);
  const unit = fuelled(random, randomUnit(random));
  const outlook = randomOutlook(random);
  const now = random.between(0, HOURS * HOUR);
  const rule = { atC: -4, hours: 6, replacesBudgets: random.chance(0.1) };
  return { request: { unit, outlook, water: WET, now, rule }, scenarios: scenariosOf(random, unit) };
}

const seeds = Array.from({ length: SEEDS }, (_, i) => 8100 + i);

describe('members that share their past', () => {
  it.each(seeds)('seed %i: do what each does alone', (seed) => {
    const { request, scenarios } = askedOf(seed);
    const together = new RiskAssessor(request);
    // Twice, as the second time a past is at hand from the first.
    for (const risks of [together.assess(scenarios), together.assess(scenarios)]) {
      request.outlook.members.forEach((_, member) => {
        const alone = new RiskAssessor(request).assessMember(scenarios, member);
        expect(risks.map((risk) => rowOf(risk, member))).toEqual(alone.map((risk) => rowOf(risk, 0)));
      });
    }
  });

  it.each(seeds.slice(0, SEEDS / 2))(
    'seed %i: are shown as each is alone, in zones that were first asked for later',
    (seed) => {
      const { request, scenarios } = askedOf(seed);
      const together = new RiskAssessor(request);
      const scenario = scenarios.find(({ plan }) => plan.switches.length > 0) ?? scenarios[0];
      request.outlook.members.forEach((_, member) => {
        const trace = together.trace(scenario!, member);
        if (member === 0) zoneAtHours(trace, 'inside');
        else expect(seen(trace)).toEqual(seen(new RiskAssessor(request).trace(scenario!, member)));
      });
    },
  );

  it('go through it once', () => {
    const { request, scenarios } = askedOf(8100);
    const members = request.outlook.members.map((m) => ({
      ...m,
      temperatureC: m.temperatureC.map((_, i) => (i <= 48 ? -i / 7 : m.temperatureC[i]!)),
      groundC: request.outlook.members[0]!.groundC,
      windSpeedMps: request.outlook.members[0]!.windSpeedMps,
    }));
    const assessor = new RiskAssessor({ ...request, outlook: outlookOf(members) });
    const { track } = assessor.trace(scenarios[0]!, 0);
    expect(track.startS(track.past)).toBe(48 * HOUR);
    // What stands there already is not written again.
    track.rows[0] = 12_345;
    expect(assessor.trace(scenarios[0]!, 1).track.rows[0]).toBe(12_345);
    assessor.trace({ ...scenarios[0]!, plan: { ...scenarios[0]!.plan } }, 1);
    expect(track.rows[0]).toBe(0);
  });
});

describe('the hours that members share', () => {
  const flat = (valueC: number): Float64Array => new Float64Array(6).fill(valueC);
  const calm: OutlookMember = { weight: 1, temperatureC: flat(1), groundC: flat(3), windSpeedMps: flat(2) };
  const from = (values: Float64Array, at: number, value: number): Float64Array =>
    values.map((v, i) => (i < at ? v : value));

  it.each([
    ['as far as all are alike', [calm, calm], 5],
    [
      'to where air differs',
      [calm, calm, { ...calm, temperatureC: from(calm.temperatureC, 3, 1.0000001) }],
      2,
    ],
    ['to where ground differs', [calm, { ...calm, groundC: from(calm.groundC, 4, 2) }], 3],
    ['to where wind differs', [calm, { ...calm, windSpeedMps: from(calm.windSpeedMps, 2, 2.5) }], 1],
    ['not where they differ from the start', [calm, { ...calm, groundC: from(calm.groundC, 0, 2) }], 0],
    ['not where they part within the first hour', [calm, { ...calm, groundC: from(calm.groundC, 1, 2) }], 0],
    [
      'not where one is of the other zero',
      [
        { ...calm, groundC: flat(0) },
        { ...calm, groundC: flat(-0) },
      ],
      0,
    ],
  ] as const)('are counted %s', (_, members, hours) => {
    expect(sharedHours(outlookOf(members))).toBe(hours);
  });
});
