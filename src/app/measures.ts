/** Which measures of keeping a unit warm are worth their work: those whose absence raises the chance. */
import type { UnitConfig } from '../config/config.ts';
import { without, type Measure } from '../model/measure.ts';
import type { Warming } from '../model/kept-warm.ts';
import { isBorne, type WarmUnits } from './warmings.ts';

/** All measures together may be this much better than those that are named; half a per cent is below what people weigh. */
const MATTERS = 0.005;

/** From most work to least. What changes only the water costs no new solution of the zones. */
const TRIED: readonly Measure[] = [
  'hose-off',
  'flush-open',
  'shower-open',
  'inlet-open',
  'water-heater-on',
  'cupboards-open',
  'heaters-down',
  'tank-pads-on',
  'heat-tape-on',
];

export interface HelpQuestion {
  readonly unit: UnitConfig;
  readonly warming: Warming;
  /** What all its measures leave. */
  readonly chance: number;
  readonly tolerance: number;
  /** The air falls below freezing somewhere within the window: then practice takes the hose off, whatever is computed. */
  readonly freezes: boolean;
  readonly unitOf: WarmUnits;
  readonly chanceOf: (warming: Warming) => number;
}

export interface Helpful {
  readonly measures: readonly Measure[];
  readonly chance: number;
}

/**
 * Leaves out one after the other, each for good where the rest does as well: within the tolerance still, if all of them
 * are. Costs one assessment for each that is tried, at most nine.
 */
export function whatHelps(question: HelpQuestion): Helpful {
  const { warming, chance, tolerance, unitOf, chanceOf } = question;
  const most = chance <= tolerance ? Math.min(chance + MATTERS, tolerance) : chance + MATTERS;
  let kept: Helpful = { measures: warming.measures, chance };
  for (const measure of TRIED.filter((m) => canGo(question, m))) {
    if (!kept.measures.includes(measure)) continue;
    const measures = without(kept.measures, measure);
    const unit = unitOf(measures);
    if (!isBorne(question.unit, measures, { unitOf, asked: warming.measures })) continue;
    const left = chanceOf({ unit, measures });
    if (left <= most) kept = { measures, chance: left };
  }
  return kept;
}

/**
 * Electric heaters that the config does not name cannot be computed: where ducts live off the furnace they stay down, and
 * wherever nobody watches them.
 */
function canGo({ unit: { spec, attended }, freezes }: HelpQuestion, measure: Measure): boolean {
  if (measure === 'hose-off') return !freezes;
  return measure !== 'heaters-down' || (attended && (spec.heat?.electricW ?? 0) > 0);
}
