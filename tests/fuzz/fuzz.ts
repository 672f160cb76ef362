import { setImmediate as nextTurn } from 'node:timers/promises';
import { assert, nat, property } from 'fast-check';
import { expect } from 'vitest';
import { changes, mutated, type Body, type Change } from './mutate.ts';
import { watchdog } from './watchdog.ts';

/** A parser under test. */
export interface Target {
  readonly name: string;
  readonly bodies: readonly Body[];
  /** Of the service's bodies, the share that goes to this parser; 1 unless given. */
  readonly share?: number;
  /**
   * What the parser makes of a text that came from the body of that number: `forecast` or another word for data, or
   * the code of an error. Throws where what it makes is not allowed.
   */
  readonly judge: (text: string, body: number) => string;
}

const BODIES = Number(process.env['DRAINBY_FUZZ'] ?? 2000);
const CHUNK = 500;
/** A parser takes a few milliseconds; the rest is room for a machine that is busy with something else. */
const LONGEST_MS = 3000;

/** `DRAINBY_FUZZ_SEED`: a number, or `random` for another one each time. */
function firstSeed(): number {
  const wish = process.env['DRAINBY_FUZZ_SEED'] ?? '1';
  return wish === 'random' ? Math.floor(Date.now() / 1000) % 1_000_000_000 : Number(wish);
}

/** Counts what became of mutated bodies, `DRAINBY_FUZZ` for each service, and prints it as a row. Throws with the seed where one fails. */
export async function fuzz(target: Target): Promise<ReadonlyMap<string, number>> {
  const seed = firstSeed();
  const bodies = Math.ceil(BODIES * (target.share ?? 1));
  const counts = new Map<string, number>();
  const dog = watchdog(`${target.name}, seed ${seed}`);
  let slowestMs = 0;
  try {
    for (let done = 0; done < bodies; done += CHUNK) {
      const numRuns = Math.min(CHUNK, bodies - done);
      const holds = property(nat(target.bodies.length - 1), changes, (body, list) => {
        dog.alive();
        const text = mutated(target.bodies[body]!, list);
        const start = performance.now();
        const outcome = judged(target, { text, body, list });
        const took = performance.now() - start;
        slowestMs = Math.max(slowestMs, took);
        expect(took, 'milliseconds for one body').toBeLessThan(LONGEST_MS);
        counts.set(outcome, (counts.get(outcome) ?? 0) + 1);
      });
      assert(holds, { seed: seed + done, numRuns });
      await nextTurn();
    }
  } finally {
    await dog.stop();
  }
  expect(Object.getOwnPropertyNames(Object.prototype).toSorted()).toEqual(PROTOTYPE);
  print(target.name, { seed, slowestMs, counts });
  return counts;
}

const PROTOTYPE = Object.getOwnPropertyNames(Object.prototype).toSorted();

function judged(
  target: Target,
  { text, body, list }: { readonly text: string; readonly body: number; readonly list: readonly Change[] },
): string {
  try {
    return target.judge(text, body);
  } catch (cause) {
    const what = `${target.name}, body ${body}, changes ${JSON.stringify(list)}: ${String(cause)}\n${text.slice(0, 1500)}`;
    throw new Error(what, { cause });
  }
}

function print(
  name: string,
  { seed, slowestMs, counts }: { seed: number; slowestMs: number; counts: ReadonlyMap<string, number> },
): void {
  const bodies = [...counts.values()].reduce((sum, n) => sum + n, 0);
  const cells = [...counts]
    .toSorted(([a], [b]) => a.localeCompare(b))
    .map(([outcome, n]) => `${outcome} ${n}`);
  const row = `${name.padEnd(24)} seed ${seed}, ${bodies} bodies, slowest ${slowestMs.toFixed(0)} ms: ${cells.join(', ')}`;
  process.stderr.write(`${row}\n`);
}
