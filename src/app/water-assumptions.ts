/** What was taken for granted of the water and of the antifreeze, in full sentences. */
import type { Config } from '../config/config.ts';
import { READY_TO_USE_PERCENT, percentFor } from '../model/antifreeze.ts';
import { isTrap } from '../model/circuit-names.ts';
import { SHOWER_CIRCUIT } from '../model/damage.ts';
import { LEFT_LITRES, POURED_LITRES, bearsC, percentIn } from '../model/filling.ts';
import { circuitState, isWet, type CircuitState } from '../model/water-state.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import { asksHow } from './answer-record.ts';
import type { UnitEvaluation } from './evaluate.ts';

const ASKED_HOW =
  'Nobody has said how it was winterized: it is taken as blown out with air, and the traps as they were. Say with antifreeze, with air and the traps done, or with air only.';

export function waterAssumptions(config: Config, evaluated: UnitEvaluation): readonly string[] {
  const { water, assessment } = evaluated;
  const { action, method } = assessment?.advice ?? {};
  const pumped = action === 'winterize' && method === 'antifreeze';
  return [
    ...(water.all.state.kind === 'unknown' ? [unsaidWords(water)] : []),
    ...(asksHow(evaluated) ? [ASKED_HOW] : trapAssumptions(evaluated)),
    ...fillingAssumptions(evaluated),
    ...showerAssumptions(evaluated),
    ...strongerAssumptions(config, evaluated),
    ...(pumped ? [`Winterized with antifreeze it is taken to hold ${mixedWords()}.`] : []),
  ];
}

function unsaidWords({ circuits }: UnitEvaluation['water']): string {
  return Object.keys(circuits).length === 0
    ? 'Nobody has said what is in the lines: they are taken as full of water.'
    : 'What is in part of the lines is not known for sure: that is taken as full of water.';
}

function showerAssumptions({ unit, water, assessment }: UnitEvaluation): readonly string[] {
  const { model, spec } = unit;
  const warm = water.keptWarm === true || assessment?.advice.action === 'keep-warm';
  if (!warm || !model.parts.some((p) => p.circuit === SHOWER_CIRCUIT)) return [];
  if (spec.showerValves === undefined)
    return [
      'Kept warm, the outside shower is taken as empty: shut off by valves of its own, or opened with the pump off for as long as it is cold. Say outsideShowerValves: false if it has none and the pump stays on.',
    ];
  return spec.showerValves
    ? []
    : ['The outside shower has no valves of its own: kept warm, it is taken as full.'];
}

function trapAssumptions({ unit, water }: UnitEvaluation): readonly string[] {
  const isFull = unit.model.parts.some(
    ({ circuit }) => isTrap(circuit) && isWet(circuitState(water, circuit).state),
  );
  if (water.all.state.kind !== 'blown' || !isFull) return [];
  return ['Air does not empty a trap, and nobody has said what was done to them: they are taken as full.'];
}

function fillingAssumptions({ unit, water }: UnitEvaluation): readonly string[] {
  const of = (circuit: string): CircuitState['state'] => circuitState(water, circuit).state;
  const unmeasured = unit.model.parts
    .map((p) => p.circuit)
    .filter((circuit) => {
      const state = of(circuit);
      return state.kind === 'antifreeze' && state.concentrationPercent === undefined;
    });
  const ask = 'measure it at the last tap and say so with --concentration';
  if (unmeasured.length === 0) return [];
  if (unmeasured.every(isTrap))
    return [
      `The antifreeze in the traps is taken as ready-to-use fluid of ${READY_TO_USE_PERCENT} % by volume.`,
    ];
  return [`The antifreeze in it was not measured and is taken as ${mixedWords()}: ${ask}.`];
}

/** Below the lowest ahead, so that a fluid just strong enough is not called so [K]. */
const SPARE_K = 3;

/** In a trap it is the fluid that fails, and stronger fluid can be had: air does not help there. */
function strongerAssumptions(config: Config, evaluated: UnitEvaluation): readonly string[] {
  const trap = evaluated.unit.model.parts.find(
    ({ circuit }) => isTrap(circuit) && isLeftWeak(circuit, evaluated),
  );
  const zone = evaluated.assessment?.middle.zones.find((z) => z.zone === trap?.zone);
  if (trap === undefined || zone === undefined) return [];
  const { minimumC } = zone.statistics;
  const bears = bearsC(trap.circuit, {});
  if (minimumC - SPARE_K >= bears) return [];
  const shown = (celsius: number): string => formatTemperature(celsius, config.display.temperature);
  const head = `Fluid of ${READY_TO_USE_PERCENT} % in a trap bears no less than ${shown(Math.ceil(bears))}, and it comes to ${shown(minimumC)} there`;
  const percent = percentFor({ limit: 'burst', targetC: minimumC - SPARE_K });
  if (percent === null) return [`${head}: no fluid is known to bear that in a trap.`];
  const least = Math.ceil(percent);
  return [
    `${head}: pour fluid of ${least} % by volume or more into the traps, and mark each with --method antifreeze --concentration ${least} --circuit ${trap.circuit}.`,
  ];
}

/** It holds ready-to-use fluid or weaker, or that is what the advice has poured in. */
function isLeftWeak(circuit: string, { water, assessment }: UnitEvaluation): boolean {
  const { state } = circuitState(water, circuit);
  if (state.kind === 'antifreeze') return bearsC(circuit, state) >= bearsC(circuit, {});
  const { action, circuits } = assessment?.advice ?? {};
  return action === 'winterize' && (circuits?.includes(circuit) ?? true);
}

function mixedWords(): string {
  const percent = Math.floor(percentIn('', {}));
  return `${POURED_LITRES} L of ready-to-use fluid of ${READY_TO_USE_PERCENT} % by volume, thinned to ${percent} % by the ${LEFT_LITRES} L that a good drain leaves in the lines`;
}
