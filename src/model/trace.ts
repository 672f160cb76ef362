/** One member's weather through one unit: its zones, and any of its parts through them. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Levels } from './air-pieces.ts';
import { AirTrack } from './air-track.ts';
import type { HeatPlan } from './heat-plan.ts';
import type { HourlyAir } from './hourly-air.ts';
import { heatedLevels } from './part-levels.ts';
import { PartBody, usedKelvinHours, type Line } from './part.ts';
import type { Passage } from './past.ts';
import type { Part, UnitModel, ZoneId } from './unit.ts';
import { ZoneTrack } from './zone-track.ts';
import { ZoneSolver } from './zones.ts';

/** Units with the same key have the same zones in any weather and under any plan, whatever their parts are. */
export function zonesKey({ network, heat, parts, windReaching, tows }: UnitModel): string {
  // Whether the heat runs is the plan's, and heat that is stored cuts the hours where it ends.
  const given = heat === null ? null : { ...heat, running: null, gaugedAt: null };
  const stores = parts.some((part) => part.heat?.stored !== undefined);
  return JSON.stringify([network, given, stores, windReaching, tows]);
}

interface Stamped {
  readonly air: AirTrack;
  /** Of the member that it was filled for. */
  stamp: number;
}

/**
 * The zones of one unit under one member at a time, each solved when first asked for. Everything is kept and
 * filled anew for the next member, so that no object or array is made once the first has gone through.
 */
export class Trace {
  readonly unit: UnitModel;
  readonly track = new ZoneTrack();
  readonly #solver: ZoneSolver;
  readonly #zones = new Map<ZoneId, Stamped>();
  readonly #heated = new Map<Part, Stamped & { readonly levels: Levels }>();
  readonly #bodies = new Map<Part, PartBody>();
  /** Null before the first; then set to each member's. */
  #passage: Passage | null = null;
  #stamp = 0;

  constructor(unit: UnitModel) {
    this.unit = unit;
    this.#solver = new ZoneSolver(unit);
  }

  solve(air: HourlyAir, plan: HeatPlan): this {
    this.#stamp++;
    this.#passage ??= { air, plan, track: this.track };
    this.#passage.air = air;
    this.#passage.plan = plan;
    this.#solver.trace(this.#passage);
    return this;
  }

  get air(): HourlyAir {
    if (this.#passage === null)
      throw new Error(`Unit ${this.unit.id} has been through no weather yet; this is a bug.`);
    return this.#passage.air;
  }

  zone(zone: ZoneId): AirTrack {
    let known = this.#zones.get(zone);
    if (known === undefined) {
      known = { air: new AirTrack(this.unit.network, zone), stamp: 0 };
      this.#zones.set(zone, known);
    }
    if (known.stamp !== this.#stamp) {
      known.air.fill(this.track);
      known.stamp = this.#stamp;
    }
    return known.air;
  }

  /** The air around a part, in pieces that cross none of its levels. */
  airOf(part: Part): AirTrack {
    if (part.heat === undefined) return this.zone(part.zone);
    let known = this.#heated.get(part);
    if (known === undefined) {
      const levels = heatedLevels(part, (stretch) => this.track.wind(stretch));
      known = { air: new AirTrack(this.unit.network, part.zone), stamp: 0, levels };
      this.#heated.set(part, known);
    }
    if (known.stamp !== this.#stamp) {
      known.air.fill(this.track, known.levels);
      known.stamp = this.#stamp;
    }
    return known.air;
  }

  /** The part as it goes through time; one at a time. */
  body(part: Part): PartBody {
    const known = this.#bodies.get(part);
    if (known !== undefined) return known;
    const body = new PartBody(part);
    this.#bodies.set(part, body);
    return body;
  }
}

/**
 * Temperatures of a zone at the hours.
 *
 * @param into - as many values as there are hours, and one more
 */
export function zoneAtHours(
  trace: Trace,
  zone: ZoneId,
  into: Float64Array = new Float64Array(trace.air.hours + 1),
): Float64Array {
  const air = trace.zone(zone);
  for (let i = 0; i < air.count; i++) {
    const hour = air.hour(i);
    if (air.startS(i) === hour * HOUR_S) into[hour] = air.valueAt(i, 0);
  }
  const last = air.count - 1;
  if (last >= 0) into[trace.air.hours] = air.valueAt(last, air.durationS(last));
  return into;
}

/** Mean output of the furnace in each hour [W]. */
export function furnaceByHour({ track, air }: Trace): Float64Array {
  const watts = new Float64Array(air.hours);
  for (let i = 0; i < track.count; i++) watts[track.hour[i]!]! += track.furnaceJ(i) / HOUR_S;
  return watts;
}

export interface PartRun {
  /** Instants at which the part passed a line, in order. */
  readonly events: readonly { readonly at: EpochSeconds; readonly line: Line }[];
  /** At the hours. NaN before the part held water. */
  readonly temperatureC: Float64Array;
  readonly iceFraction: Float64Array;
  readonly usedKelvinHours: Float64Array;
}

export interface RunOptions {
  readonly part: Part;
  /** When the water came in; null: before the first hour. */
  readonly wetSince: EpochSeconds | null;
}

/** The part from when it holds water to the end, recorded for people. */
export function runPart(trace: Trace, { part, wetSince }: RunOptions): PartRun {
  const air = trace.airOf(part);
  const body = trace.body(part);
  const { firstHour, hours } = trace.air;
  const unknown = (): Float64Array => new Float64Array(hours + 1).fill(Number.NaN);
  const run = { temperatureC: unknown(), iceFraction: unknown(), usedKelvinHours: unknown() };
  const record = (hour: number): void => {
    run.temperatureC[hour] = body.temperatureC;
    run.iceFraction[hour] = body.iceFraction;
    run.usedKelvinHours[hour] = usedKelvinHours(part, body.taken);
  };
  const events: { at: EpochSeconds; line: Line }[] = [];
  let started = false;
  for (let i = 0; i < air.count; i++) {
    const at = firstHour + air.startS(i);
    const hour = air.hour(i);
    if (wetSince !== null && at + air.durationS(i) <= wetSince) continue;
    if (!started) body.start(air, i);
    started = true;
    if (air.startS(i) === hour * HOUR_S) record(hour);
    body.advance(air, i);
    const { zeroS, blockedS, solidS } = body.passed;
    const lines: readonly (readonly [Line, number])[] = [
      ['zero', zeroS],
      ['blocked', blockedS],
      ['solid', solidS],
    ];
    for (const [line, atS] of lines) if (!Number.isNaN(atS)) events.push({ at: at + atS, line });
  }
  if (started) record(hours);
  return { ...run, events };
}
