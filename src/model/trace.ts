/** One member's weather through one unit: its zones, and any of its parts through them. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutlookMember } from '../weather/outlook.ts';
import { firstBelow, integral, valueAt, type Course } from './course.ts';
import { windClass, windFactor, windOfClass } from './film.ts';
import { advancePart, iceFraction, usedKelvinHours, type PartState } from './part.ts';
import type { Part, ZoneId } from './unit.ts';
import { zoneCourses, type HeatPlan, type HourlyAir, type ZoneSolver, type ZoneStretch } from './zones.ts';

/** The zones of one member, each solved when first asked for. */
export class Trace {
  readonly air: HourlyAir;
  readonly stretches: readonly ZoneStretch[];
  readonly #courses = new Map<ZoneId, readonly Course[]>();
  readonly #factors = new Map<number, Float64Array>();

  constructor(air: HourlyAir, stretches: readonly ZoneStretch[]) {
    this.air = air;
    this.stretches = stretches;
  }

  /** The air of a zone over each stretch. */
  courses(zone: ZoneId): readonly Course[] {
    const known = this.#courses.get(zone);
    if (known !== undefined) return known;
    const courses = zoneCourses(this.stretches, zone);
    this.#courses.set(zone, courses);
    return courses;
  }

  /** How much faster than in calm air a part gives off heat in each hour, by its share of the wind. */
  windFactors(windShare: number): Float64Array {
    const known = this.#factors.get(windShare);
    if (known !== undefined) return known;
    const factors = this.air.windSpeedMps.map((wind) => windFactor(windShare * wind));
    this.#factors.set(windShare, factors);
    return factors;
  }
}

/** The member's air at the wind of its classes; an hour's wind is the mean of its ends. */
export function hourlyAir(firstHour: EpochSeconds, member: OutlookMember): HourlyAir {
  const { temperatureC, groundC, windSpeedMps } = member;
  const wind = Float64Array.from({ length: temperatureC.length - 1 }, (_, i) => {
    const mean = ((windSpeedMps[i] ?? 0) + (windSpeedMps[i + 1] ?? 0)) / 2;
    return windOfClass(windClass(mean));
  });
  return { firstHour, temperatureC, groundC, windSpeedMps: wind };
}

export function traceMember(solver: ZoneSolver, air: HourlyAir, plan: HeatPlan): Trace {
  return new Trace(air, solver.trace(air, plan));
}

/** Temperatures of a zone at the hours. */
export function zoneAtHours(trace: Trace, zone: ZoneId): Float64Array {
  if (zone === 'outside' || zone === 'post') return trace.air.temperatureC;
  const values = new Float64Array(trace.air.temperatureC.length);
  const courses = trace.courses(zone);
  for (const [i, stretch] of trace.stretches.entries()) {
    const course = courses[i] ?? stretch.outside;
    if (stretch.startS === stretch.hour * HOUR_S) values[stretch.hour] = valueAt(course, 0);
    values[stretch.hour + 1] = valueAt(course, stretch.durationS);
  }
  return values;
}

/** Mean output of the furnace in each hour [W]. */
export function furnaceByHour(trace: Trace): Float64Array {
  const watts = new Float64Array(trace.air.windSpeedMps.length);
  for (const { hour, durationS, furnace } of trace.stretches) {
    watts[hour] = (watts[hour] ?? 0) + valueAt(integral(furnace), durationS) / HOUR_S;
  }
  return watts;
}

/** The zones that go below 0 °C at any instant; all others can be skipped. */
export function coldZones(trace: Trace, zones: Iterable<ZoneId>): ReadonlySet<ZoneId> {
  const goesBelow = (zone: ZoneId): boolean =>
    trace
      .courses(zone)
      .some((course, i) => firstBelow(course, trace.stretches[i]?.durationS ?? 0, 0) !== null);
  return new Set([...zones].filter(goesBelow));
}

export interface PartRun {
  /** Instants at which the part passed a line, in order. */
  readonly events: readonly { readonly at: EpochSeconds; readonly line: 'zero' | 'blocked' | 'solid' }[];
  /** At the hours; empty when not recorded. NaN before the part held water. */
  readonly temperatureC: Float64Array;
  readonly iceFraction: Float64Array;
  readonly usedKelvinHours: Float64Array;
}

export interface RunOptions {
  readonly part: Part;
  /** When the water came in; null: before the first hour. */
  readonly wetSince: EpochSeconds | null;
  /** Leave at the first instant after this at which the part is blocked; null: run to the end and record. */
  readonly leaveAfter: EpochSeconds | null;
}

export function runPart(trace: Trace, options: RunOptions): PartRun {
  const { part, wetSince, leaveAfter } = options;
  const factors = trace.windFactors(part.windShare);
  const courses = trace.courses(part.zone);
  const { firstHour } = trace.air;
  const recorder = new Recorder(part, leaveAfter === null ? trace.air.temperatureC.length : 0);
  const events: { at: EpochSeconds; line: 'zero' | 'blocked' | 'solid' }[] = [];
  let state: PartState | null = null;
  for (const [i, stretch] of trace.stretches.entries()) {
    const startsAt = firstHour + stretch.startS;
    if (wetSince !== null && startsAt + stretch.durationS <= wetSince) continue;
    const air = courses[i] ?? stretch.outside;
    if (state === null) {
      state = { temperatureC: part.startTemperatureC ?? Math.max(0, valueAt(air, 0)), taken: 0 };
      recorder.record(stretch.hour, state);
    }
    const conductanceWPerK = part.conductanceWPerK * (factors[stretch.hour] ?? 1);
    for (const event of advancePart(part, state, { air, durationS: stretch.durationS, conductanceWPerK })) {
      const at = startsAt + event.atS;
      events.push({ at, line: event.line });
      if (leaveAfter !== null && event.line === 'blocked' && at > leaveAfter)
        return { events, ...recorder.traces };
    }
    recorder.record(stretch.hour + 1, state);
  }
  return { events, ...recorder.traces };
}

/** Keeps a part's state at the hours; does nothing for a length of 0. */
class Recorder {
  readonly traces: Omit<PartRun, 'events'>;
  readonly #part: Part;

  constructor(part: Part, length: number) {
    this.#part = part;
    const unknown = (): Float64Array => new Float64Array(length).fill(Number.NaN);
    this.traces = { temperatureC: unknown(), iceFraction: unknown(), usedKelvinHours: unknown() };
  }

  record(hour: number, state: PartState): void {
    if (hour >= this.traces.temperatureC.length) return;
    const taken = state.taken > 1e-300 ? state.taken : 0;
    this.traces.temperatureC[hour] = Math.abs(state.temperatureC) > 1e-300 ? state.temperatureC : 0;
    this.traces.iceFraction[hour] = iceFraction(this.#part, taken);
    this.traces.usedKelvinHours[hour] = usedKelvinHours(this.#part, taken);
  }
}
