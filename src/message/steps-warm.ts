/** The list for dusk: what of it helps this unit, and what practice asks whatever was computed. */
import type { Measure } from '../model/measure.ts';
import type { UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';
import { showerSteps } from './steps-shower.ts';
import { holdOutWords } from './words.ts';

/** The dusk list: before dark, every evening of the cold spell. */
export function keepWarmProcedure(facts: UnitFacts, words: Words): Procedure {
  const has = (measure: Measure): boolean => facts.measures.includes(measure);
  const stows = has('hose-off')
    ? ', and ten more if the hose has to be stowed; a frozen hose takes 30 to 45'
    : '';
  const fills = has('run-from-tank') ? '. Filling the tank first takes about 15' : '';
  return {
    title: 'Keep it warm: the list for dusk',
    time: `About ten minutes${stows}${fills}.`,
    needs: [
      has('furnace-on')
        ? `${words.gas} for the night and a charged battery: the furnace needs both`
        : 'shore power for the night: the electric heaters need it',
      'someone who can come should the heat stop',
    ],
    steps: [
      ...facts.measures.flatMap((measure) => measureSteps(measure, facts, words)),
      ...(facts.dusk.showerValves === false ? showerSteps(facts) : []),
      checkStep(facts, words),
      `Do not count on a dripping ${words.faucet}: a drip only relieves pressure. A stream strong enough to stop freezing fills the grey tank within hours, and with the grey valve open it builds a plug of ice in the sewer hose.`,
      heatStopsStep(facts),
    ],
  };
}

function measureSteps(measure: Measure, facts: UnitFacts, words: Words): readonly string[] {
  const { dusk, measures } = facts;
  switch (measure) {
    case 'furnace-on':
      return [furnaceStep(facts)];
    case 'electric-heat-on':
      return [
        'Electric heaters on, and somebody there with them: nobody leaves them alone, and the bed is no place to watch them from.',
      ];
    case 'water-heater-on-gas':
    case 'heat-pump-off':
    case 'element-off':
    case 'pads-off':
      return [switchedStep(measure, words)];
    case 'hose-off':
      return [
        `Shut the ${words.faucet} at the post, take the hose off, drain and coil it, and take the regulator and the filter inside.`,
      ];
    case 'hydrant-free':
      return ['Leave nothing on the hydrant: a frost-free one drains itself only so.'];
    case 'supply-off':
      return ['Supply off for the night: a line that splits then floods nothing.'];
    case 'run-from-tank':
      return ['Run from the fresh tank: fill it before the hose comes off (about 15 min for 40 gal, 150 L).'];
    case 'run-from-heated-hose':
      return [
        'Run from the heated hose, which stays on, plugged in: by what is computed it does better here than the tank. Open the drain of the fresh tank and leave it empty. Shut the supply whenever nobody is there.',
      ];
    case 'inlet-open':
      return ['City inlet: press the pin of its check valve until nothing comes.'];
    case 'flush-open':
      return ['Empty the black-tank flush line and leave it open.'];
    case 'shower-open':
      return dusk.showerValves === false ? [] : showerSteps(facts);
    case 'dump-valves-shut':
      return ['Shut the grey and the black dump valve.'];
    case 'cupboards-open':
      return ['Open the cupboard doors under the sinks and along outside walls.'];
    case 'water-heater-on':
      return [
        `Water heater on (${dusk.heaterOn === 'gas' ? words.gas : 'shore power'}), with its tank full: the furnace does not warm it behind its hatch.`,
      ];
    case 'tank-pads-on':
      return ['Tank pads on, under tanks with water in them only.'];
    case 'heat-tape-on':
      return ['Heat tape on.'];
    case 'taps-known':
      return [
        `Know which ${words.faucet}s to open if the heat stops: the farthest hot and cold one, along outside walls. An open ${words.faucet} lets pressure off.`,
      ];
    case 'heaters-down':
      return measures.includes('furnace-on') && !measures.includes('electric-heat-on')
        ? []
        : ['Electric heaters down.'];
  }
}

/** What the breaker does not carry, or nobody watches. */
function switchedStep(
  measure: 'water-heater-on-gas' | 'heat-pump-off' | 'element-off' | 'pads-off',
  { gas }: Words,
): string {
  switch (measure) {
    case 'water-heater-on-gas':
      return `Water heater on ${gas}, its tank full and its element off at the breaker, which does not carry it beside the rest. If it has no ${gas} burner, leave the element off and drain the heater once it has cooled: left full and cold it freezes behind its hatch.`;
    case 'heat-pump-off':
      return 'Heat pump off: nobody is there to see whether it still gives heat, and it keeps the furnace from running.';
    case 'element-off':
      return 'Element of the water heater off: the breaker does not carry it beside the rest.';
    case 'pads-off':
      return 'Tank pads off: the breaker does not carry them beside the rest.';
  }
}

/** Heaters left on keep the furnace from running; left alone, portable ones burn units down. */
function furnaceStep({ unit, measures }: UnitFacts): string {
  const set = 'Set the furnace on its thermostat';
  if (!measures.includes('heaters-down')) return `${set}.`;
  return unit.attended
    ? `${set} and turn electric heaters down, so that the furnace runs: its warmth is what reaches the lines below the floor.`
    : `${set} and turn electric heaters down, all the way off: nobody is there to watch them, and the furnace runs only without them: its warmth is what reaches the lines below the floor.`;
}

/** What the post of most places carries for hours [W]. */
const USUAL_POST_W = 2900;

function checkStep({ measures, unknownLoadW = 0 }: UnitFacts, words: Words): string {
  const usual = 'a 30-A post carries about 2.9 kW for hours, and all heat stops when it trips.';
  const post =
    unknownLoadW > USUAL_POST_W
      ? `${usual} Which breaker it is has not been said, and about ${(unknownLoadW / 1000).toFixed(1)} kW would be on at once: read it first, and switch off what it does not carry.`
      : usual;
  if (!measures.includes('furnace-on')) return `Check the load on the breaker: ${post}`;
  return `Check the ${words.gas}, the battery and the load on the breaker. Below about 10.5 to 11 V the furnace stops with full cylinders; ${post}`;
}

function heatStopsStep(facts: UnitFacts): string {
  const look = facts.unit.attended
    ? 'Look again before bed.'
    : 'Nobody is in this unit to notice when the heat stops: have someone look in, at dusk and before bed.';
  if (facts.holdOutHours === null || facts.heatFails)
    return `${look} If the heat stops and stays off, drain at once.`;
  return `${look} If the heat stops at the worst hour, this unit holds out ${holdOutWords(facts.holdOutHours)}. If heat that stops cannot be brought back at once, drain.`;
}
