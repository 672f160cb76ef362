/** The ways in which one unit can be kept warm, each within what its post bears. */
import type { UnitConfig } from '../config/config.ts';
import { SHOWER_CIRCUIT, STOWED_CIRCUIT, holdsWater } from '../model/damage.ts';
import { bodyMeasures, standingMeasures, warmedLike, type Warming } from '../model/kept-warm.ts';
import { inOrder, without, type Measure } from '../model/measure.ts';
import { HEATED_HOSE_LOAD, overloadW } from '../model/post-load.ts';
import type { UnitModel } from '../model/unit.ts';
import { circuitState, type UnitWater } from '../model/water-state.ts';

export interface WarmQuestion {
  readonly unit: UnitConfig;
  readonly water: UnitWater;
  /** Circuits that ice closes. */
  readonly frozen: ReadonlySet<string>;
}

/** Makes the unit of some measures; the same for the same, so that its zones are solved once. */
export type WarmUnits = (measures: readonly Measure[]) => UnitModel;

/** With the water from the tank before a heated hose. Empty: it cannot be kept warm, or no post bears it. */
export function warmingsOf(question: WarmQuestion, unitOf = warmUnits(question.unit)): readonly Warming[] {
  const { keptWarm } = question.unit;
  if (keptWarm === null) return [];
  const all = measuresOf(question);
  const ways = [all, ...throughHose(question, all)].flatMap((way) => [way, ...withHeaters(question, way)]);
  return unlike(ways.flatMap((measures) => borne(question.unit, measures, unitOf)));
}

/** Heaters that somebody watches may be worth more inside than the warm ducts that they cost. */
function withHeaters({ unit }: WarmQuestion, all: readonly Measure[]): readonly (readonly Measure[])[] {
  const areWatched = unit.attended && (unit.spec.heat?.electricW ?? 0) > 0;
  return areWatched && all.includes('heaters-down') ? [without(all, 'heaters-down')] : [];
}

/** Where the post bears no heaters, the way with them ends as the one without. */
function unlike(warmings: readonly Warming[]): readonly Warming[] {
  const isSame = (one: Warming, other: Warming): boolean =>
    one.measures.join(' ') === other.measures.join(' ');
  return warmings.filter((one, i) => warmings.findIndex((other) => isSame(one, other)) === i);
}

export function warmUnits({ spec, keptWarm, model, attended }: UnitConfig): WarmUnits {
  const known = new Map<string, UnitModel>();
  const body = bodyMeasures(spec, model, attended);
  const whole = keyOf(body, body);
  return (measures) => {
    const key = keyOf(measures, body);
    if (keptWarm !== null && key === whole) return keptWarm;
    const unit = known.get(key) ?? warmedLike(keptWarm ?? model, spec, measures);
    known.set(key, unit);
    return unit;
  };
}

/** Measures that change the unit itself, and not only its water. */
function keyOf(measures: readonly Measure[], body: readonly Measure[]): string {
  const changing: readonly Measure[] = [...body, ...SHEDDING];
  return measures
    .filter((m) => changing.includes(m))
    .toSorted()
    .join(' ');
}

/** Everything that can be done for this unit, with its water from the tank. */
function measuresOf({ unit, water, frozen }: WarmQuestion): readonly Measure[] {
  const { model, spec } = unit;
  const isHeld = (circuit: string): boolean =>
    !frozen.has(circuit) &&
    model.parts.some((p) => p.circuit === circuit && holdsWater(p, circuitState(water, circuit).state));
  const has = (...circuits: readonly string[]): boolean =>
    model.parts.some((p) => circuits.includes(p.circuit));
  const measures: Measure[] = [(spec.heat?.furnaceW ?? 0) > 0 ? 'furnace-on' : 'electric-heat-on'];
  if (isHeld(STOWED_CIRCUIT)) measures.push('hose-off', 'hydrant-free', 'supply-off');
  if (has(STOWED_CIRCUIT) && isHeld('tank-fresh')) measures.push('run-from-tank');
  if (isHeld('inlet')) measures.push('inlet-open');
  if (isHeld('flush')) measures.push('flush-open');
  if (isHeld(SHOWER_CIRCUIT) && model.showerOnLines !== true) measures.push('shower-open');
  if (has('tank-grey', 'tank-black')) measures.push('dump-valves-shut');
  const heaterIsEmpty = !isHeld('heater');
  const body = bodyMeasures(spec, model, unit.attended).filter(
    (m) => m !== 'water-heater-on' || !heaterIsEmpty,
  );
  return inOrder([...measures, ...body, 'taps-known']);
}

/** A heated hose that stays on brings the water in place of the tank, whose outlet hangs in the cold. */
function throughHose({ unit }: WarmQuestion, all: readonly Measure[]): readonly (readonly Measure[])[] {
  const { spec } = unit;
  if (!spec.hoseHeated || spec.heat?.shore === false || !all.includes('hose-off')) return [];
  return [inOrder([...without(all, 'hose-off'), 'run-from-heated-hose'])];
}

/** The water heater first where it can burn gas: nothing is missed then. */
const SHEDDING: readonly Measure[] = ['water-heater-on-gas', 'heaters-down', 'element-off', 'pads-off'];

/** As it is where the post bears it; else with as little as possible switched off, each way. Empty: it never does. */
function borne(unit: UnitConfig, measures: readonly Measure[], unitOf: WarmUnits): readonly Warming[] {
  const shed = shedding(unit, measures);
  for (let count = 0; count <= shed.length; count++) {
    const warmings = choices(shed, count)
      .map((off) => inOrder([...measures.filter((m) => !off.some((o) => UNDONE[o] === m)), ...off]))
      .filter((some) => isBorne(unit, some, { unitOf, asked: measures }))
      .map((some) => ({ unit: unitOf(some), measures: some }));
    if (warmings.length > 0) return warmings;
  }
  return [];
}

const UNDONE: Readonly<Partial<Record<Measure, Measure>>> = {
  'water-heater-on-gas': 'water-heater-on',
  'element-off': 'water-heater-on',
  'pads-off': 'tank-pads-on',
};

/** What can be switched off without the heat going with it. */
function shedding({ spec, keptWarm }: UnitConfig, measures: readonly Measure[]): readonly Measure[] {
  const heater = keptWarm?.parts.find((p) => p.id === 'heater-tank')?.heat;
  const electric = (spec.heat?.electricW ?? 0) > 0 && (spec.heat?.furnaceW ?? 0) > 0;
  const element = heater?.needs === 'shore' && measures.includes('water-heater-on');
  return SHEDDING.filter((measure) => {
    if (measure === 'heaters-down') return electric && !measures.includes(measure);
    if (measure === 'element-off') return element;
    if (measure === 'water-heater-on-gas') return element && spec.heat?.gas !== undefined;
    return measures.includes('tank-pads-on');
  });
}

function choices(of: readonly Measure[], count: number): readonly (readonly Measure[])[] {
  if (count === 0) return [[]];
  return of.flatMap((first, i) => choices(of.slice(i + 1), count - 1).map((rest) => [first, ...rest]));
}

export interface Loading {
  readonly unitOf: WarmUnits;
  /** All that can be asked for: what is not among it is not on, as the element of an empty water heater. */
  readonly asked: readonly Measure[];
}

/**
 * What the config has on stays on, and draws, where no measure switches it off, whether its heat is counted or not. A
 * heated hose that is taken off draws nothing.
 */
export function loadedUnit(
  { spec }: UnitConfig,
  measures: readonly Measure[],
  { unitOf, asked }: Loading,
): UnitModel {
  const on = standingMeasures(spec).filter((m) => asked.some((a) => a === m || UNDONE[a] === m));
  const unit = unitOf(inOrder([...measures, ...on]));
  const { electrics } = unit;
  if (electrics === undefined || !measures.includes('hose-off')) return unit;
  const loads = electrics.loads.filter(({ label }) => label !== HEATED_HOSE_LOAD);
  return { ...unit, electrics: { ...electrics, loads } };
}

export function isBorne(unit: UnitConfig, measures: readonly Measure[], loading: Loading): boolean {
  return overloadW(loadedUnit(unit, measures, loading)) === 0;
}

/** The most it would draw beyond what the post bears where it is refused for that [W]; 0: it is not. */
export function refusedW(question: WarmQuestion): number {
  const { keptWarm } = question.unit;
  if (keptWarm === null || overloadW(keptWarm) === 0) return 0;
  return warmingsOf(question).length === 0 ? overloadW(keptWarm) : 0;
}
