import { circuitWords } from './circuits.ts';
import type { UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';
import { covers, ownCircuits, type Scope } from './scope.ts';
import { stepsLeft, timeLeft } from './steps-drained.ts';
import { capital } from './words.ts';
import { pumpStep } from './steps-pump.ts';

export const DRAIN_NEEDS: readonly string[] = [
  'a wrench or socket for the heater plug or anode, and a new seal for it',
  'a flashlight, gloves, towels and a bucket',
  'a tag that says "heater empty"',
];

const USUAL_TIME =
  'About 25 min with the heater cold; letting the heater cool and draining it adds about 25, dumping the tanks 20.';

/** Between letting the water out and putting fluid or air in. */
export function shutStep(scope: Scope = null): string {
  return `Shut the low points, every drain and every outlet${covers(scope, 'heater') ? '; plug or anode back in' : ''}.`;
}

export function drainProcedure(facts: UnitFacts, words: Words): Procedure {
  return {
    title: 'Drain it',
    time: timeLeft(facts) ?? USUAL_TIME,
    needs: DRAIN_NEEDS,
    steps: [
      ...drainSteps(facts, words),
      ...applianceSteps(facts, null),
      `Leave every ${words.faucet} and low point open. Element breaker off, ${words.gas} off, tag on: heater empty.`,
      'The traps still hold water; a cup or two of potable antifreeze in each protects them.',
    ],
  };
}

/** What every way of winterizing begins with too, as far as it concerns some circuits. */
export function drainSteps(facts: UnitFacts, words: Words, scope: Scope = null): readonly string[] {
  const left = scope === null ? stepsLeft(facts, words) : null;
  if (left !== null) return [...left, ...pocketSteps(facts, scope)];
  return [
    ...heaterOffSteps(facts, words, scope),
    facts.hasHose
      ? `Pump off. Shut the ${words.faucet} at the post, take the hose off, drain and coil it; regulator and filter inside.`
      : 'Pump off, and nothing connected to the city inlet.',
    `Open one hot and one cold ${words.faucet} until no pressure is left.`,
    ...(covers(scope, 'heater')
      ? ['Stand aside and pull the heater’s plug or anode; open its relief valve to let air in.']
      : []),
    ...tankSteps(scope),
    ...openSteps(words, scope),
    ...(covers(scope, 'cold')
      ? [
          'Hold the toilet pedal down until nothing comes; the same with a second toilet.',
          pumpStep(facts, 'Run the pump in short bursts until it spits air, then switch it off.'),
        ]
      : []),
    ...ownCircuits(scope).map((c) => `${capital(circuitWords(c))}: open its drain until nothing comes.`),
    ...flushSteps(scope),
    ...pocketSteps(facts, scope),
  ];
}

/** Before anything else, whatever is to be done: hot water scalds, and an element without water burns out. */
function heaterOffSteps({ route }: UnitFacts, { gas }: Words, scope: Scope): readonly string[] {
  const off = `Water heater: element off at its breaker, ${gas} off.`;
  const cool = 'Run hot water until it comes cool (about 12 min).';
  if (scope === null || covers(scope, 'heater'))
    return [
      `${off} ${cool} Where no hot water comes it cools by itself, which takes many hours: it is not opened before.`,
    ];
  if (route?.heater === 'none') return [];
  return [`${off} Both stay off. It is not opened: it is done already, or ice still closes it.`];
}

function tankSteps(scope: Scope): readonly string[] {
  if (scope === null)
    return ['Dump the black tank, then the grey; shut the valves. Open the drain of the fresh tank.'];
  const [black, grey] = [scope.includes('tank-black'), scope.includes('tank-grey')];
  return [
    ...(black && grey ? ['Dump the black tank, then the grey; shut the valves.'] : []),
    ...(black !== grey ? [`Dump the ${black ? 'black' : 'grey'} tank; shut its valve.`] : []),
    ...(scope.includes('tank-fresh') ? ['Open the drain of the fresh tank.'] : []),
  ];
}

function openSteps({ faucet }: Words, scope: Scope): readonly string[] {
  if (scope === null)
    return [
      `Open the hot and the cold low-point drain, then every ${faucet} hot and cold, the shower and its hand spray, the outside shower and the outside kitchen.`,
    ];
  const lines = ['hot', 'cold'].filter((line) => scope.includes(line));
  const opened = [
    ...(lines.length === 0
      ? []
      : [
          `the ${lines.join(' and the ')} low-point drain`,
          `every ${lines.join(' and every ')} ${faucet}`,
          'the shower and its hand spray',
        ]),
    ...(scope.includes('outside-shower')
      ? ['both sides of the outside shower, its hand spray hanging down']
      : []),
    ...(scope.includes('outside-kitchen') ? ['the outside kitchen'] : []),
  ];
  return opened.length === 0 ? [] : [`Open ${opened.join(', ')}, until nothing comes.`];
}

function flushSteps(scope: Scope): readonly string[] {
  if (scope === null || !scope.includes('flush')) return [];
  return ['Black-tank flush line: take the hose off its inlet and let it run out.'];
}

/** Emptied with the rest by the steps before it. */
const DONE_BEFORE: readonly string[] = ['pump-head', 'toilet-valve', 'second-toilet', 'hand-spray'];

/** Each by its own manual. */
const APPLIANCES: ReadonlyMap<string, string> = new Map([
  ['tankless-heater', 'tankless heater (drain plugs and inlet screen)'],
  ['hydronic-coil', 'hydronic heater’s domestic coil'],
  ['washing-machine', 'washing machine (drain and spin, and its drain pump)'],
  ['dishwasher', 'dishwasher (valve and pump)'],
  ['ice-maker', 'ice maker (valve and line)'],
  ['dispenser-coil', 'refrigerator’s dispenser coil, which never empties by itself'],
  ['macerator', 'macerator pump'],
]);

/** How what stays full is emptied, in the unit's order. */
const POCKETS: ReadonlyMap<string, string> = new Map([
  ['strainer', 'pump strainer (its bowl off)'],
  ['check-valve', 'check valves (an outlet open on either side of each)'],
  ['canister-filter', 'canister filter (its bowl off, the cartridge out)'],
  ['water-softener', 'water softener (bypassed and drained)'],
  ['black-flush', 'black-tank flush line (its inlet open)'],
  ['flush-breaker', 'vacuum breaker of the flush line'],
  ['accumulator', 'accumulator (an outlet near it open)'],
]);

/** What this unit has that gravity leaves full; the city inlet too, up to its check valve. */
function pocketSteps({ pockets }: UnitFacts, scope: Scope): readonly string[] {
  const named = pockets
    .filter(({ id, circuit }) => covers(scope, circuit) && !DONE_BEFORE.includes(id) && !APPLIANCES.has(id))
    .filter(({ id }) => scope === null || id !== 'black-flush')
    .map(({ id, label }) => POCKETS.get(id) ?? label);
  const all = [
    ...named,
    ...(covers(scope, 'inlet') ? ['city inlet (press the pin of its check valve)'] : []),
  ];
  return all.length === 0 ? [] : [`Look at what gravity leaves full, and empty it: ${all.join('; ')}.`];
}

/** Always called by name where they are all there is to do, pocket or not. */
const BY_MANUAL: readonly string[] = ['washer', 'ice-maker'];

export function applianceSteps({ pockets }: UnitFacts, scope: Scope): readonly string[] {
  const there = pockets.filter(({ circuit }) => covers(scope, circuit));
  const named = there.flatMap(({ id }) => APPLIANCES.get(id) ?? []);
  const unnamed = BY_MANUAL.filter(
    (c) => scope?.includes(c) === true && there.every(({ circuit }) => circuit !== c),
  );
  const all = [...named, ...unnamed.map(circuitWords)];
  return all.length === 0 ? [] : [`Each by its own manual: ${all.join('; ')}.`];
}
