/**
 * The steps where only some circuits are to be done: the rest is done, or ice closes it. What hangs on the lines is done
 * in the order of the whole procedure, less what is done already: heater off and cool, pressure off, water out,
 * everything shut, and only then fluid or air.
 */
import { circuitsWords, circuitWords, isTrap, traps } from './circuits.ts';
import type { Reader, UnitFacts, Words } from './message.ts';
import { jobOf, type Job, type Procedure } from './procedure.ts';
import { isJoined, isTank, throughLines } from './scope.ts';
import { DRAIN_NEEDS, applianceSteps, drainSteps } from './steps-drain.ts';
import { linesByAir, linesByFluid, partialAirNeeds, partialFluidNeeds } from './steps-lines.ts';
import { capital, minutesWords } from './words.ts';

type Work = 'drain' | 'antifreeze' | 'air';

interface Part {
  readonly job: Work;
  readonly circuits: readonly string[];
  readonly facts: UnitFacts;
  readonly reader: Pick<Reader, 'words' | 'temperature'>;
}

/** Null: the whole unit is to be done, or another job was asked for. */
export function partialProcedure(job: Job, facts: UnitFacts, reader: Part['reader']): Procedure | null {
  const { advice } = facts;
  if (advice?.circuits === undefined || jobOf(advice.action, advice.method) !== job) return null;
  if (job !== 'drain' && job !== 'antifreeze' && job !== 'air') return null;
  const { circuits, workMinutes } = advice;
  const part = { job, circuits, facts, reader };
  return {
    title: `Only ${circuitsWords(circuits)}`,
    time: `About ${minutesWords(workMinutes)}. The rest is done already, or ice still closes it.`,
    needs: needsOf(part),
    steps: stepsOf(part),
  };
}

function needsOf({ job, circuits, facts }: Part): readonly string[] {
  const tools = circuits.includes('heater') ? DRAIN_NEEDS : ['a flashlight, gloves and a bucket'];
  const isTraps = traps(circuits).split(', ').length === circuits.length;
  if (job === 'drain') return tools;
  if (isTraps) return ['antifreeze for potable systems: one to two cups for each trap'];
  const brought = job === 'air' ? partialAirNeeds(circuits, facts) : partialFluidNeeds(circuits, facts);
  return [...brought, ...tools];
}

function stepsOf(part: Part): readonly string[] {
  const { job, circuits, facts, reader } = part;
  if (job === 'drain') return isJoined(circuits) ? drained(part) : oneByOne(part);
  // Air goes in at the inlet: where the inlet is all there is, none has to go past it.
  const lines = throughLines(circuits).filter((c) => job !== 'air' || c !== 'inlet');
  if (lines.length === 0) return oneByOne(part);
  return job === 'air' ? linesByAir(circuits, facts, reader.words) : linesByFluid(circuits, facts, reader);
}

function drained({ circuits, facts, reader: { words } }: Part): readonly string[] {
  const heater = circuits.includes('heater')
    ? ` Element breaker off, ${words.gas} off, tag on: heater empty.`
    : '';
  return [
    ...drainSteps(facts, words, circuits),
    ...applianceSteps(facts, circuits),
    `Leave every ${words.faucet}, low point and drain that you opened open.${heater}`,
  ];
}

/** Nothing of it is joined to the lines inside. */
function oneByOne({ job, circuits, reader: { words } }: Part): readonly string[] {
  const names = traps(circuits);
  const others = circuits.filter((circuit) => !isTrap(circuit));
  const needsPressureOff = others.length > 0;
  return [
    ...(needsPressureOff ? [`Supply off, pump off; open a ${words.faucet} until no pressure is left.`] : []),
    ...others.map((circuit) => `${capital(circuitWords(circuit))}: ${workOn(circuit, job, words)}`),
    ...(names === '' ? [] : [`Traps (${names}): pour one to two cups of antifreeze into each drain.`]),
  ];
}

function workOn(circuit: string, job: Work, words: Words): string {
  const open = OPENED.get(circuit)?.(words) ?? 'open its drain and leave it open until nothing comes.';
  if (job === 'drain' || isTank(circuit) || circuit === 'post') return open;
  if (circuit === 'inlet')
    return `${open} A short puff of air from an open hose end, not sealed to it, takes what is left before the valve.`;
  const then =
    job === 'air'
      ? 'Then set the regulator at 30 psi (2.1 bar), never over 40 psi (2.8 bar), connect the air at its own inlet and blow it out, twice; shut the air off and let the pressure off before you disconnect.'
      : 'Then pour or pump antifreeze in at its own inlet until the colour comes in the tank.';
  return `${open} ${then}`;
}

/** How water is let out of a circuit, after its name and a colon. */
const OPENED: ReadonlyMap<string, (words: Words) => string> = new Map<string, (words: Words) => string>([
  ['inlet', () => 'press the pin of its check valve until nothing comes.'],
  ['flush', () => 'take the hose off its inlet and let it run out.'],
  ['outside-shower', () => 'open both sides and let the hand spray hang down.'],
  ['tank-fresh', () => 'open its drain.'],
  ['tank-grey', () => 'dump it, and shut the valve.'],
  ['tank-black', () => 'dump it, and shut the valve.'],
  ['washer', () => 'run and drain it by its own manual.'],
  ['ice-maker', () => 'shut its valve and drain it by its own manual.'],
  [
    'post',
    ({ faucet }) =>
      `shut the ${faucet} at the post, take hose, regulator and filter off, drain and stow them.`,
  ],
]);
