/** What every member does to one unit under each course of action. */
import type { EpochSeconds } from '../quantity/instant.ts';
import { seriesFrom } from '../weather/cold-spell.ts';
import type { Outlook, OutlookMember } from '../weather/outlook.ts';
import { dryDamage, holdsWater, type SustainedRule } from './damage.ts';
import { coldZones, hourlyAir, runPart, traceMember, zoneAtHours, type Trace } from './trace.ts';
import type { Part, UnitModel, ZoneId } from './unit.ts';
import { circuitState, type CircuitState, type UnitWater } from './water-state.ts';
import { ZoneSolver, type HeatPlan } from './zones.ts';

/** A course of action: when heat is on, and what the water is from some instant on. */
export interface Scenario {
  readonly heatOnFrom: EpochSeconds;
  readonly heatOffFrom: EpochSeconds;
  /** Null: the water stays as it is. */
  readonly change: { readonly at: EpochSeconds; readonly water: UnitWater } | null;
}

export interface MemberRisk {
  readonly weight: number;
  /** First damage after now; null: none within the forecast. */
  readonly first: { readonly at: EpochSeconds; readonly part: string } | null;
  /** Per part, in the unit's order: its first damage after now. */
  readonly parts: readonly (EpochSeconds | null)[];
  /** Parts damaged before now, as the unit stood. */
  readonly before: readonly { readonly at: EpochSeconds; readonly part: string }[];
}

export interface RiskRequest {
  readonly unit: UnitModel;
  readonly outlook: Outlook;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
  readonly rule: SustainedRule;
}

/** What members do to one unit. Keeps the unit's decomposed systems, but no member's zones. */
export class RiskAssessor {
  readonly #request: RiskRequest;
  readonly #solver: ZoneSolver;

  constructor(request: RiskRequest) {
    this.#request = request;
    this.#solver = new ZoneSolver(request.unit);
  }

  /** For each scenario, the risk of every member. Member by member, so that only one's zones are held at a time. */
  assess(scenarios: readonly Scenario[]): MemberRisk[][] {
    const byMember = this.#request.outlook.members.map((_, member) => this.assessMember(scenarios, member));
    return scenarios.map((_, i) => byMember.flatMap((risks) => risks[i] ?? []));
  }

  /** One risk for each scenario; scenarios with the same heat share their zones. */
  assessMember(scenarios: readonly Scenario[], member: number): MemberRisk[] {
    const traces = new Map<string, PreparedTrace>();
    return scenarios.map((scenario) => {
      const key = `${scenario.heatOnFrom} ${scenario.heatOffFrom}`;
      const trace = traces.get(key) ?? this.#prepare(scenario, member);
      traces.set(key, trace);
      return memberRisk(this.#request, scenario, trace);
    });
  }

  /** The zones of one member under a scenario, for people to see. */
  trace(scenario: Scenario, member: number): Trace {
    const { outlook } = this.#request;
    return traceMember(
      this.#solver,
      hourlyAir(outlook.firstHour, memberOf(outlook, member)),
      this.#plan(scenario),
    );
  }

  #prepare(scenario: Scenario, member: number): PreparedTrace {
    const { unit, now, outlook } = this.#request;
    const zones = new Set(unit.parts.map((p) => p.zone));
    const { weight } = memberOf(outlook, member);
    return new PreparedTrace({ weight, trace: this.trace(scenario, member), zones, now });
  }

  #plan(scenario: Scenario): HeatPlan {
    const { firstHour } = this.#request.outlook;
    return { onFromS: scenario.heatOnFrom - firstHour, offFromS: scenario.heatOffFrom - firstHour };
  }
}

function memberOf(outlook: Outlook, member: number): OutlookMember {
  const chosen = outlook.members[member];
  if (chosen === undefined) throw new Error(`There is no member ${member}; this is a bug.`);
  return chosen;
}

/** A member's zones with what is asked of them more than once. */
class PreparedTrace {
  readonly weight: number;
  readonly #trace: Trace;
  readonly #cold: ReadonlySet<ZoneId>;
  readonly #now: EpochSeconds;
  readonly #zones = new Map<ZoneId, Float64Array>();
  readonly #blocked = new Map<string, readonly EpochSeconds[]>();

  constructor(of: { weight: number; trace: Trace; zones: ReadonlySet<ZoneId>; now: EpochSeconds }) {
    this.weight = of.weight;
    this.#trace = of.trace;
    this.#cold = coldZones(of.trace, of.zones);
    this.#now = of.now;
  }

  /** Instants at which the part, full of water, is blocked: all before now, and the first after it. */
  blockedTimes(part: Part, wetSince: EpochSeconds | null): readonly EpochSeconds[] {
    if (!this.#cold.has(part.zone)) return [];
    const key = `${part.id} ${wetSince}`;
    const known = this.#blocked.get(key);
    if (known !== undefined) return known;
    const { events } = runPart(this.#trace, { part, wetSince, leaveAfter: this.#now });
    const times = events.filter((e) => e.line === 'blocked').map((e) => e.at);
    this.#blocked.set(key, times);
    return times;
  }

  zone(zone: ZoneId): Float64Array {
    const known = this.#zones.get(zone);
    if (known !== undefined) return known;
    const values = zoneAtHours(this.#trace, zone);
    this.#zones.set(zone, values);
    return values;
  }

  get firstHour(): EpochSeconds {
    return this.#trace.air.firstHour;
  }
}

function memberRisk(request: RiskRequest, scenario: Scenario, trace: PreparedTrace): MemberRisk {
  const before: { at: EpochSeconds; part: string }[] = [];
  const parts = request.unit.parts.map((part) => {
    const times = damageTimes({ request, scenario, trace, part });
    before.push(...times.filter((at) => at <= request.now).map((at) => ({ at, part: part.id })));
    return times.find((at) => at > request.now) ?? null;
  });
  let first: MemberRisk['first'] = null;
  parts.forEach((at, i) => {
    if (at !== null && (first === null || at < first.at))
      first = { at, part: request.unit.parts[i]?.id ?? '' };
  });
  return { weight: trace.weight, first, parts, before };
}

interface PartQuestion {
  readonly request: RiskRequest;
  readonly scenario: Scenario;
  readonly trace: PreparedTrace;
  readonly part: Part;
}

/** Damage under the state as it stands until the change, then under the new one. */
function damageTimes({ request, scenario, trace, part }: PartQuestion): EpochSeconds[] {
  const now = circuitState(request.water, part.circuit);
  const { change } = scenario;
  const times = timesUnder({ request, trace, part }, now);
  if (change === null) return times;
  // A pocket keeps the cold it has taken; water that comes in with the change has taken none.
  const since = holdsWater(part, now.state) ? now.since : change.at;
  const changed = circuitState(change.water, part.circuit);
  const after = { ...changed, since: holdsWater(part, changed.state) ? since : change.at };
  return [
    ...times.filter((at) => at <= change.at),
    ...timesUnder({ request, trace, part }, after).filter((at) => at > change.at),
  ];
}

function timesUnder(
  { request, trace, part }: Omit<PartQuestion, 'scenario'>,
  circuit: CircuitState,
): EpochSeconds[] {
  if (holdsWater(part, circuit.state)) return [...trace.blockedTimes(part, circuit.since)];
  const from = Math.max(trace.firstHour, circuit.since ?? trace.firstHour);
  const series = seriesFrom(trace.firstHour, trace.zone(part.zone), from);
  return dryDamage({ part, state: circuit.state }, series, request.rule);
}
