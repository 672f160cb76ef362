/** Measures of keeping warm in a few words each, for one line. */
import type { Measure } from '../model/measure.ts';

const WORDS: Readonly<Record<Measure, string>> = {
  'run-from-tank': 'water from the fresh tank',
  'hose-off': 'hose off and stowed',
  'hydrant-free': 'nothing left on the hydrant',
  'supply-off': 'supply off at night',
  'run-from-heated-hose': 'water from the heated hose, the fresh tank empty',
  'inlet-open': 'city inlet emptied',
  'flush-open': 'black-tank flush line emptied',
  'shower-open': 'outside shower emptied',
  'dump-valves-shut': 'dump valves shut',
  'furnace-on': 'furnace on',
  'electric-heat-on': 'electric heaters on, with somebody there',
  'heaters-down': 'electric heaters down',
  'heat-pump-off': 'heat pump off',
  'cupboards-open': 'cupboards open',
  'water-heater-on': 'water heater on',
  'water-heater-on-gas': 'water heater on gas, its element off for the breaker’s sake',
  'element-off': 'heater element off for the breaker’s sake',
  'tank-pads-on': 'tank pads on',
  'pads-off': 'tank pads off for the breaker’s sake',
  'heat-tape-on': 'heat tape on',
  'taps-known': 'and know which taps to open if the heat stops',
};

/** `hose off and stowed, furnace on, and know which taps to open if the heat stops` */
export function measuresWords(measures: readonly Measure[]): string {
  return measures.map((measure) => WORDS[measure]).join(', ');
}
