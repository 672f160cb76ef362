/** A unit as somebody keeps it warm for the night. */
import { buildUnit } from './catalogue.ts';
import { isTank } from './catalogue-warmers.ts';
import { hasDucts, type Measure } from './measure.ts';
import type { HeatSpec, UnitModel, UnitSpec } from './unit.ts';

/** A way to keep a unit warm: what is done, and what the unit then is. */
export interface Warming {
  readonly unit: UnitModel;
  readonly measures: readonly Measure[];
}

/**
 * The heat on, and the list for dusk done as far as it changes the unit itself. The parts and their order stay as they
 * are. Null: there is no vented, thermostatted furnace to switch on, nor anybody to watch electric heaters.
 */
export function keptWarm(spec: UnitSpec, attended = false): UnitModel | null {
  const { heat } = spec;
  if (heat === null) return null;
  const watched = attended && ((heat.electricW ?? 0) > 0 || (heat.heatPump?.watts ?? 0) > 0);
  return heat.furnaceW > 0 || watched ? warmUnit(spec, bodyMeasures(spec, buildUnit(spec), attended)) : null;
}

/**
 * The measures that can change the unit itself, whatever it is now. Where nobody watches electric heat the furnace warms
 * it alone.
 */
export function bodyMeasures(spec: UnitSpec, { parts }: UnitModel, attended = false): readonly Measure[] {
  const measures: Measure[] = [];
  const { furnaceW = 0, electricW = 0, heatPump } = spec.heat ?? {};
  const isAlone = !attended && furnaceW > 0;
  if (hasDucts(spec) || (isAlone && electricW > 0)) measures.push('heaters-down');
  if (isAlone && (heatPump?.watts ?? 0) > 0) measures.push('heat-pump-off');
  if (parts.some((p) => p.zone === 'cabinet')) measures.push('cupboards-open');
  if (parts.some((p) => p.id === 'heater-tank' || p.id === 'heater-fittings'))
    measures.push('water-heater-on');
  // By its id: a taped line of a tank's own circuit has heat, too, and no pad.
  if (parts.some((p) => isTank(p.id) && p.heat !== undefined)) measures.push('tank-pads-on');
  if (isTaped(spec)) measures.push('heat-tape-on');
  return measures;
}

/** What is so already, as the config has it. */
export function standingMeasures(spec: UnitSpec): readonly Measure[] {
  return [
    ...(spec.cupboardsOpen === true ? (['cupboards-open'] as const) : []),
    ...((spec.waterHeater ?? 'off') === 'off' ? [] : (['water-heater-on'] as const)),
    ...(spec.tankPadW === undefined ? [] : (['tank-pads-on'] as const)),
    ...(isTaped(spec) ? (['heat-tape-on'] as const) : []),
  ];
}

function isTaped({ parts }: UnitSpec): boolean {
  return (parts.lines ?? []).some((line) => line.tapeWPerM > 0);
}

/** The unit with its heat on and with these measures; what is not among them is off, shut or as it stands. */
function warmUnit(spec: UnitSpec, measures: readonly Measure[]): UnitModel {
  const { heat, parts, tankPadW, ...rest } = spec;
  const is = (measure: Measure): boolean => measures.includes(measure);
  const tapeOff = (spec.parts.lines ?? []).map((line) => ({ ...line, tapeWPerM: 0 }));
  return buildUnit({
    ...rest,
    cupboardsOpen: is('cupboards-open'),
    waterHeater: heat === null ? 'off' : heaterBy(spec, heat, measures),
    heat: heat === null ? null : heatBy(heat, measures),
    parts: is('heat-tape-on') ? parts : { ...parts, lines: tapeOff },
    ...(tankPadW !== undefined && is('tank-pads-on') && !is('pads-off') ? { tankPadW } : {}),
  });
}

function heatBy({ heatPump, ...heat }: HeatSpec, measures: readonly Measure[]): HeatSpec {
  return {
    ...heat,
    ...(measures.includes('heaters-down') ? { electricW: 0 } : {}),
    ...(heatPump === undefined || measures.includes('heat-pump-off') ? {} : { heatPump }),
    running: true,
  };
}

/** On gas, whatever it ran on before, where the breaker does not carry its element. */
function heaterBy(
  spec: UnitSpec,
  heat: HeatSpec,
  measures: readonly Measure[],
): NonNullable<UnitSpec['waterHeater']> {
  if (measures.includes('element-off')) return 'off';
  if (measures.includes('water-heater-on-gas')) return 'gas';
  return measures.includes('water-heater-on') ? heaterOn(spec, heat) : 'off';
}

/** What the water heater runs on where it is on. */
function heaterOn(
  { waterHeater = 'off' }: UnitSpec,
  { gas, shore }: HeatSpec,
): NonNullable<UnitSpec['waterHeater']> {
  if (waterHeater !== 'off') return waterHeater;
  return gas !== undefined || shore === false ? 'gas' : 'shore';
}

/**
 * The unit with some measures, as its readings have tuned it and in its readers' words.
 *
 * @param like - the unit kept warm by all of them
 */
export function warmedLike(like: UnitModel, spec: UnitSpec, measures: readonly Measure[]): UnitModel {
  const unit = warmUnit(spec, measures);
  const ductedShare = like.heat?.ductedShare;
  return {
    ...unit,
    heat: unit.heat === null || ductedShare === undefined ? unit.heat : { ...unit.heat, ductedShare },
    network: { ...unit.network, paths: like.network.paths },
    parts: unit.parts.map((part, i) => ({ ...part, label: like.parts[i]?.label ?? part.label })),
  };
}
