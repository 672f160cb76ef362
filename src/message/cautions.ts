import { formatTemperature } from '../quantity/temperature.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import type { Action } from '../decision/advice.ts';
import type { Words } from './message.ts';
import type { Job } from './procedure.ts';

/** Holds over everything else that is said. */
const DEFERENCE =
  'Your unit’s manual, local codes and licensed practice come first: where they differ from this message, follow them.';

const POTABLE =
  'Antifreeze: only the kind sold for potable (drinking-water) systems, propylene glycol; never automotive. Read its label: alcohol-based fluid is flammable and hard on seals, and the low temperature on the front is for burst pipes and undiluted fluid; it turns to slush far warmer.';

const AIR =
  'Compressed air: the regulator set at 30 psi (2.1 bar); 40 psi (2.8 bar) is never exceeded. Protect your eyes, and let the pressure off before you disconnect.';

const PORTABLE_HEATER =
  'No portable heater in a unit that nobody is in. Where somebody is: 3 ft (1 m) clear all round, plugged straight into a wall outlet.';

const HEAT_TAPE =
  'Heat tape: only listed tape, on a GFCI outlet, never overlapped, and replaced when it is old.';

const HEATER_FULL = 'Water heater: keep its element off until the tank is full again.';

const SLOW_THAW =
  'Thaw slowly and never with a flame. A split shows only when the ice is gone: stay with it.';

const DRINKING =
  'Drinking water: only a hose kept for it, through a regulator; never the hose that rinses the tanks.';

const SEWAGE =
  'Sewage: gloves, and hands washed afterwards. Its gases are poisonous and burn: no flame, no smoking, and never into a closed space.';

interface CautionReader {
  readonly temperature: TemperatureUnit;
  readonly words: Words;
  /** The work has to do with the water heater. */
  readonly heater: boolean;
  /** It may be done in hard frost. */
  readonly hardCold: boolean;
}

/** The cautions that apply to a job, the deference to manual, codes and licensed practice first. */
export function cautionsFor(job: Job | null, reader: CautionReader): readonly string[] {
  return [DEFERENCE, ...(job === null ? [] : jobCautions(job, reader))];
}

/** For a list of many units: what no list may leave out, once each. Every unit's own message has all of them. */
export function shortCautions(listed: readonly Listed[]): readonly string[] {
  const has = (...actions: readonly Action[]): boolean =>
    listed.some(({ action }) => actions.includes(action));
  const isFrozen = listed.some(({ kind }) => kind === 'frozen');
  return [
    DEFERENCE,
    ...(isFrozen ? ['What may have frozen is not pressurised, and thawed slowly, without a flame.'] : []),
    ...(has('keep-warm')
      ? [
          'Carbon monoxide kills: heat only by a vented furnace on its thermostat; no portable heater where nobody is.',
        ]
      : []),
    ...(has('drain', 'winterize')
      ? [
          'Water heater: power and gas off, cool, pressure off, and only then the plug, standing aside. Hot water scalds.',
        ]
      : []),
    ...(has('winterize')
      ? ['Antifreeze for potable systems only. Air: 30 psi (2.1 bar) set, 40 psi (2.8 bar) never exceeded.']
      : []),
  ];
}

interface Listed {
  readonly kind: string;
  readonly action: Action;
}

function jobCautions(job: Job, reader: CautionReader): readonly string[] {
  switch (job) {
    case 'keep-warm':
      return [fuelBurning(reader), PORTABLE_HEATER, HEAT_TAPE];
    case 'drain-part':
      return [brittle(reader)];
    case 'drain':
      return [...heaterWork(reader), SEWAGE, ...inTheCold(reader), POTABLE];
    case 'antifreeze':
      return [POTABLE, ...heaterWork(reader), SEWAGE, ...inTheCold(reader)];
    case 'air':
      return [AIR, ...heaterWork(reader), SEWAGE, ...inTheCold(reader), POTABLE];
    case 'late':
      return [
        heaterOpening(reader),
        scald(reader),
        ...inTheCold(reader),
        fuelBurning(reader),
        PORTABLE_HEATER,
      ];
    case 'thaw':
      return [SLOW_THAW, fuelBurning(reader), PORTABLE_HEATER, HEAT_TAPE, HEATER_FULL, brittle(reader)];
    case 'refill':
      return [HEATER_FULL, scald(reader), POTABLE];
    case 'fill':
      return [DRINKING];
    case 'dump':
      return [SEWAGE, brittle(reader)];
  }
}

function heaterWork(reader: CautionReader): readonly string[] {
  return reader.heater ? [heaterOpening(reader), scald(reader)] : [];
}

function heaterOpening(reader: CautionReader): string {
  return `Water heater: power and ${reader.words.gas} off, let it cool, supply off, let the pressure off, and only then pull the plug or anode, standing aside. Keep the element off until the tank is full again.`;
}

/** CPSC, as quoted: 150 °F 2 s, 140 °F 6 s, 130 °F 30 s. */
function scald(reader: CautionReader): string {
  const [hottest, hot, warm] = [150, 140, 130].map((temperatureF) =>
    formatTemperature((temperatureF - 32) / 1.8, reader.temperature),
  );
  return `Hot water scalds: at ${hottest} within about 2 s, at ${hot} within 6 s, at ${warm} within 30 s.`;
}

/** Wet hands in frost; common practice, no source. */
function inTheCold(reader: CautionReader): readonly string[] {
  const hands =
    'Cold: wet hands freeze within minutes in wind and hard frost. Waterproof gloves and dry ones to change, and stop to warm up when fingers go numb.';
  return [brittle(reader), ...(reader.hardCold ? [hands] : [])];
}

/** Common practice: caps and handles get brittle below about −7 °C. */
function brittle(reader: CautionReader): string {
  return `Cold plastic: below about ${formatTemperature(-7, reader.temperature)} caps and valve handles snap. Do the work before it is that cold, and force nothing.`;
}

function fuelBurning(reader: CautionReader): string {
  return `Carbon monoxide kills: burn nothing inside without its own vent to the outside, so no stove, oven or camping heater for warmth; a ${reader.words.gas} furnace only vented and on its thermostat. A generator runs at least 20 ft (6 m) away. Have a carbon monoxide alarm with a good battery.`;
}
