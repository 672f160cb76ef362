/**
 * Killed with -9 at moments drawn by a seed, again and again, the program loses nothing: what the child ends with is
 * what a child ends with that nobody killed. `npm run kill` draws 1,000 moments, `npm test` 50.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Random } from '../support/random.ts';
import { startMailServer, type Copy, type MailServer } from './mail-server.ts';
import { momentFrom, nameOf } from './moment.ts';
import { runPass, type PassResult } from './pass.ts';
import { PUT_OFF, REFUSED } from './story.ts';

const KILLS = Number(process.env['DRAINBY_KILLS'] ?? 50);
const SEED = seedFrom(process.env['DRAINBY_KILL_SEED']);

function seedFrom(given: string | undefined): number {
  return given === 'random' ? Math.floor(Math.random() * 2 ** 31) : Number(given ?? 1);
}

let server: MailServer;
let calm: PassResult;
beforeAll(async () => {
  server = await startMailServer({ refused: [REFUSED], putOff: [PUT_OFF] });
  calm = await runPass({ server, next: () => null });
});
afterAll(() => server.close());

function byId(copies: readonly Copy[]): ReadonlyMap<string, readonly string[]> {
  const all = new Map<string, string[]>();
  for (const { id, raw } of copies) all.set(id, [...(all.get(id) ?? []), raw]);
  return all;
}

/** Every message as the undisturbed program sent it, and more than once only as often as it was in flight at a kill. */
function expectNothingLost({ kills, copies, store }: PassResult): void {
  expect(store).toEqual(calm.store);
  const [arrived, wanted] = [byId(copies), byId(calm.copies)];
  expect([...arrived.keys()].toSorted()).toEqual([...wanted.keys()].toSorted());
  const inFlight = kills.flatMap((kill) => kill.inFlight);
  for (const [id, raws] of arrived) {
    expect(new Set(raws).size, `versions of ${id}`).toBe(1);
    if (!id.startsWith('<watching.'))
      expect(raws[0] === wanted.get(id)?.[0], `${id} is as it was`).toBe(true);
    const excused = inFlight.filter((one) => one.startsWith(`${id} `)).length;
    expect(raws.length - 1, `copies of ${id} beyond the first`).toBeLessThanOrEqual(excused);
  }
}

/**
 * In the order of the story the first round of each kind of news, as how many rounds it comes after the one before it. What
 * is told there is remembered and not told again: parted from the memory of it, it would be lost.
 */
function roundsWithNews(): readonly number[] {
  const rounds = calm.store.rounds.map(({ id }) => id);
  // The weekly line is offered in every round of its time, in a transaction of its own.
  const news = calm.store.outbox.filter(({ kind }) => kind !== 'watching');
  const first = (kind: unknown): number =>
    Math.min(...news.filter((row) => row['kind'] === kind).map(({ round }) => rounds.indexOf(round)));
  const firsts = new Set(news.map(({ kind }) => first(kind)));
  const at = [...firsts].toSorted((a, b) => a - b);
  return at.map((round, index) => round - (at[index - 1] ?? -1));
}

function countBy(names: readonly string[]): Readonly<Record<string, number>> {
  const counts: Record<string, number> = {};
  for (const name of names.toSorted()) counts[name] = (counts[name] ?? 0) + 1;
  return counts;
}

interface Pass extends PassResult {
  readonly seed: number;
}

function report(passes: readonly Pass[]): string {
  const kills = passes.flatMap((pass) => pass.kills);
  const copies = passes.reduce((sum, pass) => sum + pass.copies.length, 0);
  const messages = passes.length * calm.copies.length;
  const inFlight = kills.reduce((sum, kill) => sum + kill.inFlight.length, 0);
  const starts = passes.reduce((sum, pass) => sum + pass.starts, 0);
  return [
    `kill: ${kills.length} kills, ${starts} starts, ${passes.length} passes, seeds ${SEED} to ${passes.at(-1)?.seed}`,
    `kill: ${messages} messages, ${copies - messages} copies beyond the first, ${inFlight} deliveries in flight at kills`,
    ...Object.entries(countBy(kills.map(({ moment }) => nameOf(moment)))).map(
      ([moment, count]) => `kill: ${String(count).padStart(5)} ${moment}`,
    ),
    '',
  ].join('\n');
}

describe('a program that is killed', () => {
  it('meets every kind of message in the story, and nobody hears a thing twice while nobody kills it', () => {
    expect(calm.store.integrity).toBe('ok');
    expect(new Set(calm.copies.map(({ id }) => id)).size).toBe(calm.copies.length);
    expect(new Set(calm.store.outbox.map(({ kind }) => kind))).toEqual(
      new Set(['heads-up', 'act', 'worse', 'last-call', 'late', 'frozen', 'all-clear', 'watching']),
    );
    expect(calm.copies.filter(({ id }) => id.startsWith('<list.')).length).toBeGreaterThan(4);
    // Texts are refused and go on as mails; nothing else is left over.
    const states = calm.store.outbox.map(({ channel, state }) => [channel, state].join(' '));
    expect(new Set(states)).toEqual(new Set(['email sent', 'text failed']));
  });

  it(
    'loses nothing when it dies right after the commit of a round that has news',
    { timeout: 240_000 },
    async () => {
      const steps = roundsWithNews();
      expect(steps.length).toBeGreaterThan(4);
      const moments = steps.map((nth) => ({ in: 'round', nth, after: 'commit' }) as const);
      const pass = await runPass({ server, next: (kills) => moments[kills] ?? null });
      expect(pass.kills.map(({ moment }) => moment)).toEqual(moments);
      expectNothingLost(pass);
    },
  );

  it('is not excused for more copies than it had in flight, nor for a message less', () => {
    const [first] = calm.copies;
    if (first === undefined) throw new Error('The story sends nothing.');
    const kill = {
      moment: { step: 'dot', nth: 1, afterMs: 0 },
      inFlight: [`${first.id} ann email 1`],
    } as const;
    const withCopies = (...more: readonly Copy[]): PassResult => ({
      ...calm,
      kills: [kill],
      copies: [...calm.copies, ...more],
    });
    expectNothingLost(withCopies(first));
    expect(() => expectNothingLost(withCopies(first, first))).toThrow('beyond the first');
    const other = calm.copies.find(({ id }) => id !== first.id)!;
    expect(() => expectNothingLost(withCopies(other))).toThrow('beyond the first');
    const changed = { ...first, raw: `${first.raw}.` };
    expect(() => expectNothingLost(withCopies(changed))).toThrow('versions of');
    expect(() => expectNothingLost({ ...calm, copies: calm.copies.slice(1) })).toThrow();
  });

  it(`loses nothing in ${KILLS} kills`, { timeout: 120_000 + KILLS * 10_000 }, async () => {
    const passes: Pass[] = [];
    let left = KILLS;
    for (let seed = SEED; left > 0; seed += 1) {
      const random = new Random(seed);
      const budget = left;
      const pass = await runPass({ server, next: (kills) => (kills < budget ? momentFrom(random) : null) });
      passes.push({ ...pass, seed });
      left -= pass.kills.length;
      try {
        expectNothingLost(pass);
      } catch (error) {
        process.stdout.write(`kill: it went wrong with DRAINBY_KILL_SEED=${seed} DRAINBY_KILLS=${budget}\n`);
        process.stdout.write(`${JSON.stringify(pass.kills)}\n`);
        throw error;
      }
    }
    process.stdout.write(report(passes));
    expect(passes.flatMap((pass) => pass.kills)).toHaveLength(KILLS);
  });
});
