/** What every member does to one unit under each course of action. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import { findCold, harmOf, holdsWater, type ColdAsked, type Found, type SustainedRule } from './damage.ts';
import { NEVER_HEATED, underWay, type HeatPlan } from './heat-plan.ts';
import { checkWeather, setWind, sharedHours, type HourlyAir } from './hourly-air.ts';
import { Trace, zoneAtHours, zonesKey } from './trace.ts';
import type { Part, UnitModel, ZoneId } from './unit.ts';
import { circuitState, type UnitWater, type WaterState } from './water-state.ts';

/** A course of action: what the unit is, when heat is on, and what the water is from some instant on. */
export interface Scenario {
  /** Null: as it stands. Otherwise with the same parts in the same order. */
  readonly unit: UnitModel | null;
  readonly plan: HeatPlan;
  /** Null: the water stays as it is. */
  readonly change: {
    readonly at: EpochSeconds;
    readonly water: UnitWater;
    /** What is done before the rest; absent: all at once. */
    readonly first?: { readonly circuit: string; readonly at: EpochSeconds };
  } | null;
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
  /** By unit as varied, and by what its zones are: solver and scratch serve every scenario and member. */
  readonly #traces = new Map<UnitModel, Trace>();
  readonly #byZones = new Map<string, Trace>();
  readonly #sharedHours: number;

  constructor(request: RiskRequest) {
    this.#request = request;
    this.#sharedHours = sharedHours(request.outlook);
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
    const air = new MemberAir(outlook, trace.unit, { until: Infinity, shared: this.#sharedHours });
    return trace.solve(air.at(member), this.#planOf(scenario));
  }

  #assessMembers(scenarios: readonly Scenario[], members: readonly number[]): ScenarioRisk[] {
    const risks = scenarios.map(() => emptyRisk(members.length, this.#request.unit.parts.length));
    for (const course of this.#coursesOf(scenarios)) {
      members.forEach((member, row) => {
        course.solve(member);
        for (const asked of course.asked) {
          const risk = risks[asked.index]!;
          risk.weights[row] = this.#request.outlook.members[member]!.weight;
          course.answer(asked, risk, row);
        }
      });
    }
    return risks;
  }

  /** Scenarios whose zones are the same go through each member together, as far as any of them asks. */
  #coursesOf(scenarios: readonly Scenario[]): readonly Course[] {
    const courses = new Map<string, Course>();
    scenarios.forEach((scenario, index) => {
      const unit = scenario.unit ?? this.#request.unit;
      const trace = this.#traceOf(unit);
      const plan = isEverHeated(unit, scenario.plan) ? this.#planOf(scenario) : NEVER_HEATED;
      const key = JSON.stringify([[...this.#byZones.values()].indexOf(trace), planKey(plan)]);
      let course = courses.get(key);
      if (course === undefined) {
        course = new Course({ ...this.#request, trace, plan, sharedHours: this.#sharedHours });
        courses.set(key, course);
      }
      course.ask(index, scenario);
    });
    return [...courses.values()];
  }

  #traceOf(unit: UnitModel): Trace {
    const known = this.#traces.get(unit);
    if (known !== undefined) return known;
    const zones = zonesKey(unit);
    const trace = this.#byZones.get(zones) ?? new Trace(unit);
    this.#byZones.set(zones, trace);
    this.#traces.set(unit, trace);
    return trace;
  }

  #planOf({ unit, plan }: Scenario): HeatPlan {
    return underWay(plan, unit ?? this.#request.unit);
  }
}

/** JSON has no infinities. */
function planKey({ switches, suppliedFrom }: HeatPlan): string {
  return [...switches.map((s) => `${s.at} ${s.heat} ${s.shore} ${s.gas}`), suppliedFrom].join(';');
}

/** Whether anything in a unit feels what a plan switches. */
function isEverHeated({ parts }: UnitModel, { switches }: HeatPlan): boolean {
  return switches.some((s) => s.heat) || parts.some((part) => part.heat !== undefined);
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

/** Whole hours are gone through, at least the first. */
function endOfHour({ firstHour }: Outlook, until: EpochSeconds): EpochSeconds {
  return firstHour + Math.max(1, Math.ceil((until - firstHour) / HOUR_S)) * HOUR_S;
}

const UNKNOWN = new Float64Array(0);

/** The weather of one member after another at one unit, in the same scratch. */
class MemberAir {
  readonly #outlook: Outlook;
  readonly #unit: UnitModel;
  /** Becomes the next member's. */
  readonly #air: { -readonly [K in keyof HourlyAir]: HourlyAir[K] };

  constructor(outlook: Outlook, unit: UnitModel, { until, shared }: { until: EpochSeconds; shared: number }) {
    const all = outlook.hours - 1;
    const hours = Math.min(all, (until - outlook.firstHour) / HOUR_S);
    this.#outlook = outlook;
    this.#unit = unit;
    this.#air = {
      firstHour: outlook.firstHour,
      hours,
      sharedHours: Math.min(shared, hours),
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
  /** As late as any scenario asks. */
  until: EpochSeconds;
  /** Of a zone's cold; null: of a part's ice. */
  readonly cold: { -readonly [K in keyof ColdAsked]: ColdAsked[K] } | null;
  readonly found: Found;
  stamp: number;
}

interface CourseRequest extends RiskRequest {
  readonly trace: Trace;
  readonly plan: HeatPlan;
  readonly sharedHours: number;
}

/** What a scenario asks, by part. */
interface Asked {
  readonly index: number;
  readonly questions: readonly (readonly Question[])[];
  /** End of an hour; what comes later was asked by another scenario. */
  readonly until: EpochSeconds;
}

/** Scenarios of the same zones under one plan: the same zones, and the same question is answered once. */
class Course {
  readonly asked: Asked[] = [];
  readonly #of: CourseRequest;
  /** Made when all has been asked. */
  #air: MemberAir | null = null;
  #until = -Infinity;
  readonly #numbers = new Map<Part, number>();
  readonly #questions = new Map<string, Question>();
  readonly #atHours = new Map<ZoneId, { readonly values: Float64Array; stamp: number }>();
  #stamp = 0;

  constructor(of: CourseRequest) {
    this.#of = of;
  }

  ask(index: number, scenario: Scenario): void {
    const { water, unit, outlook } = this.#of;
    const until = endOfHour(outlook, scenario.until);
    this.#until = Math.max(this.#until, until);
    const questions = (scenario.unit ?? unit).parts.map((part) =>
      this.#questionsOf(part, epochsOf(water, scenario, part), until),
    );
    this.asked.push({ index, questions, until });
  }

  solve(member: number): void {
    const { outlook, trace, plan, sharedHours: shared } = this.#of;
    this.#stamp++;
    this.#air ??= new MemberAir(outlook, trace.unit, { until: this.#until, shared });
    trace.solve(this.#air.at(member), plan);
  }

  /** Fills one member's row of a risk. */
  answer({ questions, until }: Asked, risk: ScenarioRisk, row: number): void {
    for (let part = 0; part < questions.length; part++) {
      let first = Infinity;
      for (const question of questions[part]!) {
        const { before, after } = this.#answerOf(question);
        if (after < first && after <= until) first = after;
        if (before > risk.lastBefore[row]!) risk.lastBefore[row] = before;
      }
      risk.partAt[row * questions.length + part] = first;
      if (first >= risk.firstAt[row]!) continue;
      risk.firstAt[row] = first;
      risk.firstPart[row] = part;
    }
  }

  #questionsOf(part: Part, epochs: readonly Epoch[], latest: EpochSeconds): readonly Question[] {
    const { rule, outlook, now } = this.#of;
    return epochs.flatMap(({ state, since, until: ends }) => {
      const until = Math.min(ends, latest);
      const harm = harmOf(part, state, rule);
      if (harm === null) return [];
      const began = since ?? -Infinity;
      const start = harm.kind === 'ice' ? began : Math.max(outlook.firstHour, began);
      const of = harm.kind === 'ice' ? this.#numberOf(part) : `${part.zone} ${harm.atC} ${harm.hours}`;
      const key = `${harm.kind} ${of} ${start} ${ends}`;
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
      question.until = Math.max(question.until, until);
      if (question.cold !== null) question.cold.until = question.until;
      return [question];
    });
  }

  /** Units whose zones are the same may have parts of the same name that differ. */
  #numberOf(part: Part): number {
    const number = this.#numbers.get(part) ?? this.#numbers.size;
    this.#numbers.set(part, number);
    return number;
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

/** When the change comes to a circuit. */
function changedAt(change: Scenario['change'], circuit: string): EpochSeconds {
  if (change === null) return Infinity;
  return change.first?.circuit === circuit ? Math.min(change.first.at, change.at) : change.at;
}

/** The states of a part's circuit, one after the other: before, now, after the change. */
function epochsOf(water: UnitWater, { change }: Scenario, part: Part): readonly Epoch[] {
  const past = water.before ?? [];
  const waters = [
    ...past.map((b) => ({ of: b.water, until: b.until })),
    { of: water, until: changedAt(change, part.circuit) },
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
