import type { Advice, ChanceOfDamage } from '../../src/decision/advice.ts';
import type { MessageKind, Notice } from '../../src/decision/memory.ts';
import type { CourseFacts } from '../../src/message/extra-facts.ts';
import type { Measure } from '../../src/model/measure.ts';
import type { Reader, UnitFacts } from '../../src/message/message.ts';

/** Seconds of an ISO instant. */
export function at(iso: string): number {
  return Date.parse(iso) / 1000;
}

const AS_OF = at('2026-11-25T15:30:00Z');
const START_BY = at('2026-11-26T22:10:00Z');

export const DRAIN: Advice = {
  action: 'drain',
  method: null,
  startBy: START_BY,
  late: false,
  boundBy: 'daylight',
  workMinutes: 45,
  reasonCode: 'cold-ahead',
};

export const WINTERIZE: Advice = { ...DRAIN, action: 'winterize', method: 'antifreeze', workMinutes: 90 };
export const KEEP_WARM: Advice = { ...DRAIN, action: 'keep-warm', workMinutes: 20 };

export const CHANCES: ChanceOfDamage = {
  perAction: { nothing: 1, drain: 0.62, winterize: 0 },
  tolerance: { nothing: 0.05, drain: 0.25, winterize: 0.25 },
  resolution: 1 / 51,
};

/** Everything that a trailer with a furnace, ducts and a hose can be asked for. */
export const MEASURES_OF_ALL: readonly Measure[] = [
  'run-from-tank',
  'hose-off',
  'hydrant-free',
  'supply-off',
  'inlet-open',
  'flush-open',
  'shower-open',
  'dump-valves-shut',
  'furnace-on',
  'heaters-down',
  'cupboards-open',
  'taps-known',
];

/** A trailer on a creek in the mountains, in use, three days before hard cold. */
export function facts(change: Partial<UnitFacts> = {}): UnitFacts {
  return {
    asOf: AS_OF,
    unit: { id: 'blue', label: 'Blue trailer', attended: false },
    place: { id: 'creek', label: 'Creek row', timeZone: 'America/Denver' },
    advice: DRAIN,
    chances: CHANCES,
    windowHours: 72,
    callAheadHours: 24,
    lowestOutside: { temperatureC: -10.5, at: at('2026-11-27T13:00:00Z') },
    spells: [
      {
        zone: 'outside',
        start: at('2026-11-27T04:00:00Z'),
        end: at('2026-11-27T16:00:00Z'),
        degreeHours: 23,
        minimumC: -10.5,
        longestHoursAtOrBelowMinus4C: 5.2,
      },
    ],
    firstPart: 'outside shower valve',
    firstDamageAt: at('2026-11-27T09:20:00Z'),
    warmFirstPart: null,
    dueAt: at('2026-11-27T09:20:00Z'),
    suspect: false,
    alreadyDamaged: false,
    holdOutHours: 4.4,
    holdOutPart: 'pump strainer',
    powerCut: null,
    overloadW: 0,
    tripped: null,
    dusk: { heaterOn: null, showerValves: 'unknown' },
    measures: MEASURES_OF_ALL,
    pockets: [
      { id: 'pump-head', label: 'pump head', circuit: 'cold' },
      { id: 'strainer', label: 'pump strainer', circuit: 'cold' },
      { id: 'black-flush', label: 'black-tank flush line', circuit: 'flush' },
    ],
    outsideCircuits: ['outside-shower', 'inlet', 'flush', 'post'],
    chanceOfNoWater: null,
    heatLasts: { gasUntil: null, batteryUntil: null, gasShortFrom: null },
    hasHeat: true,
    heatFails: false,
    heatIsOn: true,
    hasHose: true,
    waterState: 'in use',
    fluidCautions: [],
    dilution: null,
    problem: null,
    lastKnown: null,
    assumptions: [
      'Cloud cover is not in this forecast: a clear sky is assumed.',
      'The fresh tank is taken as full.',
    ],
    attributions: ['Weather data by Example Weather (CC BY 4.0).'],
    forecast: { source: 'example', issuedAt: at('2026-11-25T12:00:00Z'), fetchedAt: AS_OF },
    alerts: [],
    ...change,
  };
}

export function notice(kind: MessageKind, change: Partial<Notice> = {}): Notice {
  return {
    kind,
    episode: 'blue-2026-11-25',
    action: 'drain',
    startBy: START_BY,
    useBefore: START_BY,
    canWait: false,
    previous: null,
    ...change,
  };
}

export function reader(change: Partial<Reader> = {}): Reader {
  return {
    id: 'ann',
    name: 'Ann Example',
    temperature: 'F',
    timeZone: 'America/Denver',
    words: { faucet: 'faucet', trailer: 'trailer', gas: 'propane' },
    ...change,
  };
}

const HOUR = 3600;

/** Three and a half days of nights at −4 °C and days at 8, hour by hour, with the air of a hatch bay 2 K above. */
export function course(change: Partial<CourseFacts> = {}): CourseFacts {
  const first = at('2026-11-25T15:00:00Z');
  const times = Array.from({ length: 84 }, (_, i) => first + i * HOUR);
  const middleC = times.map((_, i) => 2 - 6 * Math.sin(((i + 6) / 12) * Math.PI));
  return {
    times,
    middleC,
    lowC: middleC.map((value, i) => value - 0.5 - i / 40),
    highC: middleC.map((value, i) => value + 0.5 + i / 40),
    zone: { id: 'bay', temperatureC: middleC.map((value) => value + 2) },
    nights: [0, 1, 2, 3].map((day) => ({
      start: at('2026-11-25T23:40:00Z') + day * 24 * HOUR,
      end: at('2026-11-26T14:00:00Z') + day * 24 * HOUR,
    })),
    ...change,
  };
}

export const EPISODE = { id: 'blue.2026-11-25T12:00:00Z', since: at('2026-11-25T12:00:00Z') };
