/** What the middle member does to a unit as it stands: the course that people are shown. */
import type { Interval } from '../decision/daylight.ts';
import { asItStands } from '../decision/options.ts';
import { STOWED_CIRCUIT, holdsWater } from '../model/damage.ts';
import { budgetKelvinHours } from '../model/part.ts';
import type { RiskAssessor } from '../model/risk.ts';
import { runPart, zoneAtHours, type PartRun, type Trace } from '../model/trace.ts';
import { ZONES, type Part, type UnitModel, type ZoneId } from '../model/unit.ts';
import { isTrap } from '../model/circuit-names.ts';
import { circuitState, type UnitWater } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import {
  coldSpells,
  coldStatistics,
  sampleCounts,
  seriesFrom,
  type ColdSpell,
  type ColdStatistics,
  type SampleCounts,
} from '../weather/cold-spell.ts';
import type { Outlook } from '../weather/outlook.ts';
import { gasOnBoardUntil } from './gas-on-board.ts';

export interface MiddleCourse {
  readonly zones: readonly {
    readonly zone: ZoneId;
    readonly statistics: ColdStatistics;
    readonly samples: SampleCounts | null;
    /** At the hours of the outlook. */
    readonly temperatureC: Float64Array;
  }[];
  readonly spells: readonly (ColdSpell & { readonly zone: ZoneId })[];
  readonly parts: readonly PartCourse[];
  /** Circuits in which ice blocks a part that would have to be drained, blown or pumped. */
  readonly frozen: ReadonlySet<string>;
  /** There is such a circuit. */
  readonly frozenPath: boolean;
  /** All the ice in the way has room: it keeps the unit from being drained and harms nothing. */
  readonly iceHasRoom: boolean;
  /** When none does, from now on. */
  readonly thawedPath: readonly Interval[];
  /** When gas (or enough of it) and battery are out as it stands; null: not within the forecast, or not counted. */
  readonly gasOutAt: EpochSeconds | null;
  readonly batteryOutAt: EpochSeconds | null;
  /** From when on the gas boils off too slowly to feed the furnace fully; null as above. */
  readonly gasShortAt: EpochSeconds | null;
  /** When what is on board now is burned, though somebody brings more in time; null as above. */
  readonly gasOnBoardUntil: EpochSeconds | null;
}

export interface PartCourse {
  readonly part: Part;
  readonly budget: { readonly blocked: number; readonly solid: number };
  /** Most of its budget used at any time from now on. */
  readonly usedKelvinHours: number;
  readonly reachesZeroAt: EpochSeconds | null;
  readonly blockedAt: EpochSeconds | null;
  readonly solidAt: EpochSeconds | null;
  readonly peakIceFraction: number;
}

export interface MiddleRequest {
  readonly assessor: RiskAssessor;
  readonly unit: UnitModel;
  readonly outlook: Outlook;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
}

export function describeMiddle({ assessor, unit, outlook, water, now }: MiddleRequest): MiddleCourse {
  const stands = asItStands(unit, water, now);
  const trace = assessor.trace(stands, outlook.middle);
  const runs = unit.parts.map((part) => ({ part, run: runHeld(trace, part, water) }));
  const zones = zonesOf(unit).map((zone) => {
    const values = zoneAtHours(trace, zone);
    const series = seriesFrom(outlook.firstHour, values, now);
    const samples = zone === 'outside' ? sampleCounts(outlook.firstHour, values, now) : null;
    return {
      zone,
      statistics: coldStatistics(series),
      samples,
      temperatureC: values,
      spells: coldSpells(series),
    };
  });
  const path = runs.filter(({ part }) => inPath(part, water));
  const hour = (now - outlook.firstHour) / HOUR_S;
  const blocked = path.filter(({ part, run }) => isBlockedAt(part, run, hour)).map(({ part }) => part);
  const frozen = new Set(blocked.map(({ circuit }) => circuit));
  return {
    zones: zones.map(({ zone, statistics, samples, temperatureC }) => ({
      zone,
      statistics,
      samples,
      temperatureC,
    })),
    spells: zones.flatMap(({ zone, spells }) => spells.map((spell) => ({ zone, ...spell }))),
    parts: runs.map(({ part, run }) => partCourse(part, run, { now, firstHour: outlook.firstHour })),
    frozen,
    frozenPath: frozen.size > 0,
    iceHasRoom: blocked.every(({ headroom }) => headroom === true),
    ...runningOut(trace, outlook.firstHour),
    gasOnBoardUntil: gasOnBoardUntil(trace, { from: stands.plan.suppliedFrom, now }),
    thawedPath: thawed(path, outlook, now),
  };
}

function runningOut(
  { track }: Trace,
  firstHour: EpochSeconds,
): Pick<MiddleCourse, 'gasOutAt' | 'batteryOutAt' | 'gasShortAt'> {
  const at = (seconds: number): EpochSeconds | null => (seconds === Infinity ? null : firstHour + seconds);
  return {
    gasOutAt: at(Math.min(track.gasOutS, track.gasShortS)),
    batteryOutAt: at(track.batteryOutS),
    gasShortAt: at(track.gasShortS),
  };
}

const EMPTY = new Float64Array(0);
const NOTHING_HAPPENS: PartRun = {
  events: [],
  temperatureC: EMPTY,
  iceFraction: EMPTY,
  usedKelvinHours: EMPTY,
};

/** A part that holds no water takes no cold. */
function runHeld(trace: Trace, part: Part, water: UnitWater): PartRun {
  const { state, since } = circuitState(water, part.circuit);
  if (!holdsWater(part, state)) return NOTHING_HAPPENS;
  return runPart(trace, { part, wetSince: since });
}

/** Outside always, and every zone that has air of its own or a part in it. */
export function zonesOf(unit: UnitModel): ZoneId[] {
  const held = new Set<ZoneId>([
    'outside',
    ...unit.network.nodes.map((n) => n.id),
    ...unit.parts.map((p) => p.zone),
  ]);
  return ZONES.filter((zone) => held.has(zone));
}

function inPath(part: Part, water: UnitWater): boolean {
  const { state } = circuitState(water, part.circuit);
  return holdsWater(part, state) && part.circuit !== STOWED_CIRCUIT && !isTrap(part.circuit);
}

function isBlockedAt(part: Part, run: PartRun, hour: number): boolean {
  const ice = Math.max(run.iceFraction[Math.floor(hour)] ?? 0, run.iceFraction[Math.ceil(hour)] ?? 0);
  return ice >= part.blocked;
}

/** Hours, from now on, at both ends of which nothing in the path is blocked. */
function thawed(
  path: readonly { part: Part; run: PartRun }[],
  outlook: Outlook,
  now: EpochSeconds,
): Interval[] {
  const open = (hour: number): boolean =>
    path.every(({ part, run }) => !((run.iceFraction[hour] ?? 0) >= part.blocked));
  const intervals: Interval[] = [];
  for (let hour = 0; hour + 1 < outlook.hours; hour++) {
    const start = outlook.firstHour + hour * HOUR_S;
    if (start + HOUR_S <= now || !open(hour) || !open(hour + 1)) continue;
    const last = intervals.at(-1);
    if (last?.end === start) intervals[intervals.length - 1] = { start: last.start, end: start + HOUR_S };
    else intervals.push({ start, end: start + HOUR_S });
  }
  return intervals;
}

function partCourse(
  part: Part,
  run: PartRun,
  at: { now: EpochSeconds; firstHour: EpochSeconds },
): PartCourse {
  const first = Math.max(0, Math.floor((at.now - at.firstHour) / HOUR_S));
  const ahead = (values: Float64Array): number =>
    values.subarray(first).reduce((most, v) => (v > most ? v : most), 0);
  return {
    part,
    budget: { blocked: budgetKelvinHours(part, part.blocked), solid: budgetKelvinHours(part, part.solid) },
    usedKelvinHours: ahead(run.usedKelvinHours),
    reachesZeroAt: passes(run, 'zero', at.now),
    blockedAt: passes(run, 'blocked', at.now),
    solidAt: passes(run, 'solid', at.now),
    peakIceFraction: ahead(run.iceFraction),
  };
}

/** First time from now on; null if it does not come, or came before and has not come again. */
function passes(run: PartRun, line: 'zero' | 'blocked' | 'solid', now: EpochSeconds): EpochSeconds | null {
  return run.events.find((e) => e.line === line && e.at >= now)?.at ?? null;
}
