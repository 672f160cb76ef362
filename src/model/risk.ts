/** What every member does to one unit under each course of action. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import { findCold, harmOf, holdsWater, type ColdAsked, type Found, type SustainedRule } from './damage.ts';
import { underWay, type HeatPlan } from './heat-plan.ts';
import { checkWeather, setWind, type HourlyAir } from './hourly-air.ts';
import { Trace, zoneAtHours } from './trace.ts';
import type { Part, UnitModel, ZoneId } from './unit.ts';
import { circuitState, type UnitWater, type WaterState } from './water-state.ts';

/** A course of action: what the unit is, when heat is on, and what the water is from some instant on. */
export interface Scenario {
  /** Null: as it stands. Otherwise with the same parts in the same order. */
  readonly unit: UnitModel | null;
  readonly plan: HeatPlan;
  /** Null: the water stays as it is. */
  readonly change: { readonly at: EpochSeconds; readonly water: UnitWater } | null;
  /** Nothing after this is asked for. */
  readonly until: EpochSeconds;
}

/** What each member does to the unit, by member; instants are infinite where there is no damage. */
export interface ScenarioRisk {
  readonly weights: Float64Array;
  /** First damage after now. */
  readonly firstAt: Float64Array;
  /** Index of the part that it comes to; −1: none. */
  readonly firstPart: Int32Array;
  /** By member, then part: its first damage after now. */
  readonly partAt: Float64Array;
  /** Last damage before now; −∞: none. */
  readonly lastBefore: Float64Array;
}

export interface RiskRequest {
  readonly unit: UnitModel;
  readonly outlook: Outlook;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
  readonly rule: SustainedRule;
}

/** What members do to one unit. No object or array is made for a member; docs/speed.md says what is left. */
export class RiskAssessor {
  readonly #request: RiskRequest;
  /** By unit as varied: its solver and scratch serve every scenario and member. */
  readonly #traces = new Map<UnitModel, Trace>();

  constructor(request: RiskRequest) {
    this.#request = request;
  }

  /** For each scenario, the risk of every member. */
  assess(scenarios: readonly Scenario[]): ScenarioRisk[] {
    const members = this.#request.outlook.members.map((_, i) => i);
    return this.#assessMembers(scenarios, members);
  }

  /** The same for one member alone. */
  assessMember(scenarios: readonly Scenario[], member: number): ScenarioRisk[] {
    return this.#assessMembers(scenarios, [member]);
  }

  /** The zones of one member under a scenario, for people to see. */
  trace(scenario: Scenario, member: number): Trace {
    const { unit, outlook } = this.#request;
    const trace = this.#traceOf(scenario.unit ?? unit);
    return trace.solve(new MemberAir(outlook, trace.unit, Infinity).at(member), this.#planOf(scenario));
  }

  #assessMembers(scenarios: readonly Scenario[], members: readonly number[]): ScenarioRisk[] {
    const risks = scenarios.map(() => emptyRisk(members.length, this.#request.unit.parts.length));
    for (const course of this.#coursesOf(scenarios)) {
      members.forEach((member, row) => {
        course.solve(member);
        for (const { index, questions } of course.asked) {
          const risk = risks[index]!;
          risk.weights[row] = this.#request.outlook.members[member]!.weight;
          course.answer(questions, risk, row);
        }
      });
    }
    return risks;
  }

  /** Scenarios whose zones are the same go through each member together. */
  #coursesOf(scenarios: readonly Scenario[]): readonly Course[] {
    const courses = new Map<string, Course>();
    scenarios.forEach((scenario, index) => {
      const unit = scenario.unit ?? this.#request.unit;
      const trace = this.#traceOf(unit);
      const key = JSON.stringify([[...this.#traces.keys()].indexOf(unit), planKey(scenario)]);
      let course = courses.get(key);
      if (course === undefined) {
        course = new Course({ ...this.#request, trace, plan: this.#planOf(scenario), until: scenario.until });
        courses.set(key, course);
      }
      course.ask(index, scenario);
    });
    return [...courses.values()];
  }

  #traceOf(unit: UnitModel): Trace {
    const known = this.#traces.get(unit);
    if (known !== undefined) return known;
    const trace = new Trace(unit);
    this.#traces.set(unit, trace);
    return trace;
  }

  #planOf({ unit, plan }: Scenario): HeatPlan {
    return underWay(plan, unit ?? this.#request.unit);
  }
}

/** JSON has no infinities. */
function planKey({ plan, until }: Scenario): string {
  return [
    ...plan.switches.map((s) => `${s.at} ${s.heat} ${s.shore} ${s.gas}`),
    plan.suppliedFrom,
    until,
  ].join(';');
}

function emptyRisk(members: number, parts: number): ScenarioRisk {
  return {
    weights: new Float64Array(members),
    firstAt: new Float64Array(members).fill(Infinity),
    firstPart: new Int32Array(members).fill(-1),
    partAt: new Float64Array(members * parts).fill(Infinity),
    lastBefore: new Float64Array(members).fill(-Infinity),
  };
}

const UNKNOWN = new Float64Array(0);

/** The weather of one member after another at one unit, in the same scratch. */
class MemberAir {
  readonly #outlook: Outlook;
  readonly #unit: UnitModel;
  /** Becomes the next member's. */
  readonly #air: { -readonly [K in keyof HourlyAir]: HourlyAir[K] };

  constructor(outlook: Outlook, unit: UnitModel, until: EpochSeconds) {
    const all = outlook.hours - 1;
    this.#outlook = outlook;
    this.#unit = unit;
    this.#air = {
      firstHour: outlook.firstHour,
      hours: Math.min(all, Math.max(1, Math.ceil((until - outlook.firstHour) / HOUR_S))),
      temperatureC: UNKNOWN,
      groundC: UNKNOWN,
      windClass: new Uint8Array(all),
    };
  }

  at(member: number): HourlyAir {
    const air = this.#air;
    const chosen = this.#outlook.members[member];
    if (chosen === undefined) throw new Error(`There is no member ${member}; this is a bug.`);
    checkWeather(chosen);
    setWind(air, this.#unit, chosen);
    air.temperatureC = chosen.temperatureC;
    air.groundC = chosen.groundC;
    return air;
  }
}

/** What is asked of a member's zones: when a part, or a zone, is harmed. */
interface Question {
  readonly part: Part;
  readonly from: EpochSeconds;
  readonly until: EpochSeconds;
  /** Of a zone's cold; null: of a part's ice. */
  readonly cold: ColdAsked | null;
  readonly found: Found;
  stamp: number;
}

/** Scenarios of one unit under one plan: the same zones, and the same question is answered once. */
class Course {
  readonly asked: { readonly index: number; readonly questions: readonly (readonly Question[])[] }[] = [];
  readonly #of: RiskRequest & { readonly trace: Trace; readonly plan: HeatPlan };
  readonly #air: MemberAir;
  readonly #questions = new Map<string, Question>();
  readonly #atHours = new Map<ZoneId, { readonly values: Float64Array; stamp: number }>();
  #stamp = 0;

  constructor(of: RiskRequest & { trace: Trace; plan: HeatPlan; until: EpochSeconds }) {
    this.#of = of;
    this.#air = new MemberAir(of.outlook, of.trace.unit, of.until);
  }

  ask(index: number, scenario: Scenario): void {
    const { water, trace } = this.#of;
    const questions = trace.unit.parts.map((part) =>
      this.#questionsOf(part, epochsOf(water, scenario, part)),
    );
    this.asked.push({ index, questions });
  }

  solve(member: number): void {
    this.#stamp++;
    this.#of.trace.solve(this.#air.at(member), this.#of.plan);
  }

  /** Fills one member's row of a risk. */
  answer(questions: readonly (readonly Question[])[], risk: ScenarioRisk, row: number): void {
    for (let part = 0; part < questions.length; part++) {
      let first = Infinity;
      for (const question of questions[part]!) {
        const { before, after } = this.#answerOf(question);
        if (after < first && after <= question.until) first = after;
        if (before > risk.lastBefore[row]!) risk.lastBefore[row] = before;
      }
      risk.partAt[row * questions.length + part] = first;
      if (first >= risk.firstAt[row]!) continue;
      risk.firstAt[row] = first;
      risk.firstPart[row] = part;
    }
  }

  #questionsOf(part: Part, epochs: readonly Epoch[]): readonly Question[] {
    const { rule, outlook, now } = this.#of;
    return epochs.flatMap(({ state, since, until }) => {
      const harm = harmOf(part, state, rule);
      if (harm === null) return [];
      const began = since ?? -Infinity;
      const start = harm.kind === 'ice' ? began : Math.max(outlook.firstHour, began);
      const of = harm.kind === 'ice' ? part.id : `${part.zone} ${harm.atC} ${harm.hours}`;
      const key = `${harm.kind} ${of} ${start} ${until}`;
      let question = this.#questions.get(key);
      if (question === undefined) {
        question = {
          part,
          from: start,
          until,
          cold:
            harm.kind === 'ice' ? null : { ...harm, firstHour: outlook.firstHour, from: start, until, now },
          found: { before: -Infinity, after: Infinity },
          stamp: 0,
        };
        this.#questions.set(key, question);
      }
      return [question];
    });
  }

  #answerOf(question: Question): Found {
    const { cold, part, found } = question;
    if (question.stamp === this.#stamp) return found;
    question.stamp = this.#stamp;
    if (cold === null) this.#findIce(question);
    else findCold(this.#hourly(part.zone), cold, found);
    return found;
  }

  /** Runs a part full of water until it is blocked after now. */
  #findIce({ part, from, until, found }: Question): void {
    const { trace, now } = this.#of;
    found.before = -Infinity;
    found.after = Infinity;
    const air = trace.airOf(part);
    if (!air.goesBelow) return;
    const body = trace.body(part);
    const { firstHour } = trace.air;
    const to = Math.min(air.count, air.firstEndingAfter(until - firstHour) + 1);
    let i = air.firstEndingAfter(from - firstHour);
    if (i >= to) return;
    body.start(air, i);
    for (; i < to; i++) {
      i = body.untilBlocked(air, i, to);
      if (i >= to) return;
      const blockedAt = firstHour + air.startS(i) + body.passed.blockedS;
      if (blockedAt > until) return;
      if (blockedAt > now) {
        found.after = blockedAt;
        return;
      }
      found.before = blockedAt;
    }
  }

  #hourly(zone: ZoneId): Float64Array {
    const { trace } = this.#of;
    let known = this.#atHours.get(zone);
    if (known === undefined) {
      known = { values: new Float64Array(trace.air.hours + 1), stamp: 0 };
      this.#atHours.set(zone, known);
    }
    if (known.stamp !== this.#stamp) zoneAtHours(trace, zone, known.values);
    known.stamp = this.#stamp;
    return known.values;
  }
}

/** A stretch of time through which a circuit's state holds. */
interface Epoch {
  readonly state: WaterState;
  /** When it began to be so; null: for as long as anyone knows. */
  readonly since: EpochSeconds | null;
  readonly until: EpochSeconds;
}

/**
 * Water that is still there keeps the cold it has taken, and an empty part the hours of cold it has stood in; what
 * comes in or is emptied begins anew.
 */
function isStillSo(part: Part, before: WaterState, after: WaterState): boolean {
  const held = holdsWater(part, after);
  return holdsWater(part, before) === held && (held || before.kind === after.kind);
}

/** The states of a part's circuit, one after the other: before, now, after the change. */
function epochsOf(water: UnitWater, { change }: Scenario, part: Part): readonly Epoch[] {
  const past = water.before ?? [];
  const waters = [
    ...past.map((b) => ({ of: b.water, until: b.until })),
    { of: water, until: change?.at ?? Infinity },
    ...(change === null ? [] : [{ of: change.water, until: Infinity }]),
  ];
  const epochs: Epoch[] = [];
  let from = -Infinity;
  for (const { of, until } of waters) {
    const { state, since } = circuitState(of, part.circuit);
    const last = epochs.at(-1);
    const begins = from === -Infinity ? since : Math.max(from, since ?? from);
    const goesOn = last !== undefined && isStillSo(part, last.state, state);
    if (until > from) epochs.push({ state, since: goesOn ? last.since : begins, until });
    from = until;
  }
  return epochs;
}
