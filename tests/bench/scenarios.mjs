/** Units and weather that every measurement goes through. The same numbers each time: nothing is drawn by chance. */
import { buildUnit } from '../../dist/model/catalogue.js';
import { ALWAYS_HEATED, NEVER_HEATED } from '../../dist/model/heat-plan.js';
import { hourlyAir } from '../../dist/model/hourly-air.js';

export const PLAIN = {
  id: 'unit',
  kind: 'travel-trailer',
  lengthM: 7.3,
  slides: 1,
  belly: 'enclosed',
  skirting: 'none',
  hoseConnected: true,
  heat: null,
  network: null,
  parts: { catalogue: true, add: [], without: [], own: [] },
};
const HEATED = {
  ...PLAIN,
  belly: 'heated',
  heat: { setC: 18, furnaceW: 6000, ductedShare: 0.04, running: true },
};

/** A trailer, without the parts that heat themselves: the comparisons do without them. */
function unitOf({ heated }) {
  const unit = buildUnit(heated ? HEATED : PLAIN);
  return { ...unit, parts: unit.parts.filter((part) => part.heat === undefined) };
}

/** Days and nights about `meanC` with weather that wanders on its own, a wind that turns, still ground. */
function memberOf({ meanC, hours, seed, weight, gusty = true }) {
  const values = (of) => Float64Array.from({ length: hours + 1 }, (_, i) => of(i));
  let wandering = 0;
  const temperatureC = values((i) => {
    wandering = 0.97 * wandering + 0.5 * Math.sin(seed * 13.7 + i * i * 0.37 + i * 1.3);
    return meanC + 6 * Math.cos((2 * Math.PI * i) / 24) + wandering;
  });
  const windSpeedMps = values((i) => 2 + (gusty ? 2 : 0) * Math.sin(i / 5 + seed));
  return { weight, temperatureC, windSpeedMps, groundC: values(() => 2) };
}

export function outlookOf({ meanC, hours, members, seed = 1, gusty = true }) {
  const all = Array.from({ length: members }, (_, m) =>
    memberOf({ meanC, hours, seed: seed * 100 + m, weight: 1 / members, gusty }),
  );
  return { firstHour: 0, hours: hours + 1, members: all, middle: 0 };
}

/** Four cases of 19 days and 51 members. */
export function cases() {
  const of = (name, heated, meanC) => {
    const unit = unitOf({ heated });
    const outlook = outlookOf({ meanC, hours: 456, members: 51 });
    const airs = outlook.members.map((member) => hourlyAir(unit, 0, member));
    return { name, unit, outlook, airs, plan: heated ? ALWAYS_HEATED : NEVER_HEATED };
  };
  return [
    of('no heat, about -1 °C', false, -1),
    of('no heat, about +4 °C', false, 4),
    of('furnace on, about -1 °C', true, -1),
    of('furnace on, about -8 °C', true, -8),
  ];
}

export const WET = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} };
export const RULE = { atC: -4, hours: 6 };

/** As it stands, through all its hours. */
export function scenarioOf(plan) {
  return { unit: null, plan, change: null, until: Infinity };
}

/** CPU time of this process [ms]: the machine is shared, and clocks on the wall count what others do. */
export function cpuMs() {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}
