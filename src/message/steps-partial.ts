/** The steps where only some circuits are to be done: the rest is done, or ice closes it. */
import { circuitsWords, circuitWords, traps } from './circuits.ts';
import type { UnitFacts, Words } from './message.ts';
import { jobOf, type Job, type Procedure } from './procedure.ts';
import { DRAIN_NEEDS } from './steps-drain.ts';
import { capital, minutesWords } from './words.ts';

type Work = 'drain' | 'antifreeze' | 'air';

/** Null: the whole unit is to be done, or another job was asked for. */
export function partialProcedure(job: Job, facts: UnitFacts, words: Words): Procedure | null {
  const { advice } = facts;
  if (advice?.circuits === undefined || jobOf(advice.action, advice.method) !== job) return null;
  if (job !== 'drain' && job !== 'antifreeze' && job !== 'air') return null;
  const { circuits, workMinutes } = advice;
  return {
    title: `Only ${circuitsWords(circuits)}`,
    time: `About ${minutesWords(workMinutes)}. The rest is done already, or ice still closes it.`,
    needs: needsOf(job, circuits),
    steps: stepsOf(job, circuits, words),
  };
}

function needsOf(job: Work, circuits: readonly string[]): readonly string[] {
  const fluid = [
    'antifreeze for potable systems: one to two cups for each trap, a quart (1 L) for each of the rest',
  ];
  const air = ['a compressor with clean air and a regulator', 'eye protection'];
  const heater = circuits.includes('heater') ? DRAIN_NEEDS : ['a flashlight, gloves and a bucket'];
  const isTraps = traps(circuits).split(', ').length === circuits.length;
  if (job === 'drain') return heater;
  if (isTraps) return ['antifreeze for potable systems: one to two cups for each trap'];
  return [...(job === 'air' ? air : fluid), ...heater];
}

function stepsOf(job: Work, circuits: readonly string[], words: Words): readonly string[] {
  const names = traps(circuits);
  const others = circuits.filter((circuit) => !circuit.startsWith('trap-'));
  const needsPressureOff = others.length > 0;
  return [
    ...(needsPressureOff ? [`Supply off, pump off; open a ${words.faucet} until no pressure is left.`] : []),
    ...others.map((circuit) => `${capital(circuitWords(circuit))}: ${workOn(circuit, job, words)}`),
    ...(names === '' ? [] : [`Traps (${names}): pour one to two cups of antifreeze into each drain.`]),
  ];
}

function workOn(circuit: string, job: Work, words: Words): string {
  const open = OPENED.get(circuit)?.(words) ?? 'open its drain and leave it open until nothing comes.';
  if (job === 'drain' || circuit.startsWith('tank-')) return open;
  const then =
    job === 'air'
      ? 'Then air through it at 30 psi (2.1 bar), never over 40 psi (2.8 bar), twice.'
      : (FILLED.get(circuit) ?? `Then pump antifreeze through it until the colour is full.`);
  return `${open} ${then}`;
}

/** How water is let out of a circuit, after its name and a colon. */
const OPENED: ReadonlyMap<string, (words: Words) => string> = new Map<string, (words: Words) => string>([
  [
    'cold',
    ({ faucet }) =>
      `low point and every cold ${faucet} open, toilet pedal held down, pump run dry in short bursts, strainer and filter bowl emptied.`,
  ],
  ['hot', ({ faucet }) => `low point and every hot ${faucet} open, the shower’s too.`],
  [
    'heater',
    ({ gas }) =>
      `element and ${gas} off, let it cool, pressure off, then pull the plug or anode standing aside.`,
  ],
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

/** Where the pump does not bring antifreeze by itself. */
const FILLED: ReadonlyMap<string, string> = new Map([
  ['heater', 'It stays bypassed and empty: no antifreeze goes into its tank.'],
  ['inlet', 'Then press the pin until the pump’s antifreeze shows its colour there.'],
  ['flush', 'Then pour or pump antifreeze in at its own inlet until the colour comes in the tank.'],
]);
