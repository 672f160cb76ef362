import type { Action, Method } from '../decision/advice.ts';
import type { Measure } from '../model/measure.ts';
import type { WaterState } from '../model/water-state.ts';
import { onlyWords } from './circuits.ts';

/** What an action is called where it is a heading or a cell. */
export function actionWords(
  action: Action,
  method: Method | null,
  measures: readonly Measure[] | null = null,
): string {
  switch (action) {
    case 'nothing':
      return 'nothing';
    case 'keep-warm':
      return measures?.includes('hose-off') === false ? 'heat on' : 'hose off and heat on';
    case 'drain-part':
      return 'drain what lies outside';
    case 'drain':
      return 'drain';
    case 'winterize':
      return method === null ? 'winterize' : `winterize (${method})`;
  }
}

interface Ordered {
  readonly label: string;
  readonly method: Method | null;
  readonly hasHose: boolean;
  /** What alone is to be done; null: all of it. */
  readonly circuits: readonly string[] | null;
}

/** The action as an order about one unit, without its full stop: `Drain Blue trailer`. */
export function orderWords(action: Action, unit: Ordered): string {
  const only = unit.circuits === null ? '' : `${onlyWords(unit.circuits) ?? 'part'} of `;
  switch (action) {
    case 'nothing':
      return `Leave ${unit.label} as it is`;
    case 'keep-warm':
      return `${unit.hasHose ? 'Hose off and heat on' : 'Heat on'} for ${unit.label}`;
    case 'drain-part':
      return `Drain ${onlyWords(unit.circuits ?? []) ?? 'what lies outside'} of ${unit.label}`;
    case 'drain':
      return `Drain ${only}${unit.label}`;
    case 'winterize':
      return `Winterize ${only}${unit.label}${unit.method === null || only !== '' ? '' : ` (${unit.method})`}`;
  }
}

/** The action as the subject of a sentence: `draining leaves 62 %`. */
export function doingWords(action: Action): string {
  switch (action) {
    case 'nothing':
      return 'leaving it as it is';
    case 'keep-warm':
      return 'keeping it warm';
    case 'drain-part':
      return 'draining only what lies outside';
    case 'drain':
      return 'draining';
    case 'winterize':
      return 'winterizing';
  }
}

/**
 * As many marks as it takes to say that the action was done: of some circuits, what went into the traps and out of the
 * tanks is said apart from the lines.
 */
export function marksWords(
  action: Action,
  method: Method | null,
  circuits: readonly string[] | null = null,
): readonly string[] {
  if (action !== 'winterize' || circuits === null) return [markWords(action, method, circuits)];
  const traps = circuits.filter((circuit) => method === 'air' && circuit.startsWith('trap-'));
  const tanks = circuits.filter((circuit) => circuit.startsWith('tank-'));
  const lines = circuits.filter((circuit) => !traps.includes(circuit) && !tanks.includes(circuit));
  return [
    ...(lines.length === 0 ? [] : [markWords(action, method, lines)]),
    ...(traps.length === 0 ? [] : [markWords(action, 'antifreeze', traps)]),
    ...(tanks.length === 0 ? [] : [markWords('drain', null, tanks)]),
  ];
}

function ofCircuits(circuits: readonly string[]): string {
  return circuits.map((circuit) => ` --circuit ${circuit}`).join('');
}

/** The STATE and options of `drainby mark` that say the action was done, to these circuits only or to all. */
export function markWords(
  action: Action,
  method: Method | null,
  circuits: readonly string[] | null = null,
): string {
  const state = stateWords(action, method, circuits === null);
  return `${state}${ofCircuits(circuits ?? [])}`;
}

function stateWords(action: Action, method: Method | null, isWhole: boolean): string {
  switch (action) {
    case 'nothing':
      return 'in-use';
    case 'keep-warm':
      return 'kept-warm';
    case 'drain-part':
    case 'drain':
      return 'drained --quality well';
    case 'winterize':
      return `winterized --method ${method ?? 'antifreeze'}${isWhole && method === 'air' ? ' --traps' : ''}`;
  }
}

export function waterStateWords(state: WaterState): string {
  switch (state.kind) {
    case 'wet':
      return 'in use';
    case 'unknown':
      return 'unknown, taken as in use';
    case 'drained':
      return state.quality === 'well' ? 'drained' : 'drained (quickly)';
    case 'blown':
      return 'winterized (air)';
    case 'antifreeze':
      return `winterized (antifreeze${percentWords(state.concentrationPercent)})`;
  }
}

/** What was measured decides how cold it may get. */
function percentWords(percent: number | undefined): string {
  return percent === undefined ? '' : `, ${percent} %`;
}

/** Where a cold spell was, after "lowest" or at the head of a line. An own zone keeps its name. */
export function zoneWords(zone: string): string {
  return ZONE_WORDS.get(zone) ?? zone;
}

const ZONE_WORDS: ReadonlyMap<string, string> = new Map([
  ['post', 'at the hook-up post'],
  ['underneath', 'underneath the floor'],
  ['underbelly', 'in the underbelly'],
  ['bay', 'in the hatch bay'],
  ['cabinet', 'in the outside cabinets'],
  ['slide', 'in the slide-out'],
  ['outlet', 'at the outlets under the belly'],
  ['barn', 'in the barn'],
]);

/** A zone where it is a heading or a cell. An own zone keeps its name. */
export function zoneName(zone: string): string {
  return ZONE_NAMES.get(zone) ?? zone;
}

const ZONE_NAMES: ReadonlyMap<string, string> = new Map([
  ['post', 'hook-up'],
  ['bay', 'hatch bay'],
  ['cabinet', 'cupboards'],
  ['slide', 'slide-out'],
  ['outlet', 'outlets'],
]);

/** Of what follows a part's name the one that fits it: `goes` or `go`. */
export function verb(part: string, one: string, many: string): string {
  return isPlural(part) ? many : one;
}

/** By its head, which stands before the first of these: "elbows behind the cupboards" are many, "line in the slide" one. */
function isPlural(part: string): boolean {
  const [head = ''] = part.split(/,| (?:at|behind|from|in|kept|of|on|under)\b/);
  return / and /.test(head) || /[^s’]s$/.test(head);
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** `Ann, Bob, and Cleo`; empty where there is none. */
export function listed(words: readonly string[]): string {
  return new Intl.ListFormat('en').format(words);
}

export function uncapital(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** `45 min`, `1 h 30 min` */
export function minutesWords(minutes: number): string {
  const whole = Math.max(0, Math.round(minutes));
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** A time that must not be promised too long: rounded down to the half hour, from three hours on to the hour. */
export function holdOutWords(hours: number): string {
  if (hours < 0.5) return 'less than half an hour';
  if (hours >= 3) return `about ${Math.floor(hours)} h`;
  return `about ${Math.floor(hours * 2) / 2} h`;
}

/** Gas that boils off too slowly: no furnace without a pause, and cold inside, although there is gas on board. */
export function shortGasWords(at: string): string {
  return `from ${at} on the cold cylinder cannot feed the furnace fully; a fuller or larger one can give more`;
}
