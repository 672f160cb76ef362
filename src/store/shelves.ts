/** Where the clients of weather services keep their answers: in the database, or on top of one that is only read. */
import type { Shelf, Shelved, Spent } from '../forecast/http/shelf.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { spentOf, type SpentCalls } from './shelf.ts';
import type { Store, StoreReader } from './store.ts';

/** Is told why the database could not be used; the shelf goes on without. */
export type OnTrouble = (error: unknown) => void;

/**
 * A shelf in the database. No method rejects: an answer that cannot be kept is still an answer. Calls that could not
 * be written down are remembered as long as the process lives, so that a locked database does not overdraw an
 * allowance.
 */
export function storeShelf(
  store: Pick<Store, 'findAnswer' | 'keepAnswer' | 'spentCalls' | 'spendCalls'>,
  onTrouble: OnTrouble,
): Shelf {
  const unwritten: SpentCalls[] = [];
  const ours: SpentCalls[] = [];
  return {
    find: (source, url) => orElse(store.findAnswer(source, url), null, onTrouble),
    keep: (source, answer) => orElse(store.keepAnswer(source, answer), undefined, onTrouble),
    async spent(source, now) {
      const written = await orElse(store.spentCalls(source, now), null, onTrouble);
      return written === null ? sumOf(ours, source, now) : plus(written, sumOf(unwritten, source, now));
    },
    async spend(source, weight, now) {
      remember(ours, { source, weight, now });
      const isWritten = await orElse(
        store.spendCalls({ source, weight, now }).then(() => true),
        false,
        onTrouble,
      );
      if (!isWritten) remember(unwritten, { source, weight, now });
    },
  };
}

/**
 * A shelf for commands that only look: finds what the database has, and keeps and spends for itself alone.
 *
 * @param reader null: there is no database yet
 */
export function readerShelf(
  reader: Pick<StoreReader, 'findAnswer' | 'spentCalls'> | null,
  onTrouble: OnTrouble,
): Shelf {
  const kept = new Map<string, Shelved>();
  const ours: SpentCalls[] = [];
  const keyOf = (source: string, url: string): string => JSON.stringify([source, url]);
  return {
    async find(source, url) {
      const own = kept.get(keyOf(source, url));
      if (own !== undefined || reader === null) return own ?? null;
      return await orElse(reader.findAnswer(source, url), null, onTrouble);
    },
    async keep(source, answer) {
      kept.set(keyOf(source, answer.url), answer);
    },
    async spent(source, now) {
      const own = sumOf(ours, source, now);
      if (reader === null) return own;
      return plus(await orElse(reader.spentCalls(source, now), NOTHING, onTrouble), own);
    },
    async spend(source, weight, now) {
      remember(ours, { source, weight, now });
    },
  };
}

const NOTHING: Spent = { day: 0, hour: 0, minute: 0 };

async function orElse<T>(work: Promise<T>, otherwise: T, onTrouble: OnTrouble): Promise<T> {
  try {
    return await work;
  } catch (error) {
    onTrouble(error);
    return otherwise;
  }
}

/** Calls older than the longest span that is asked for are of no use. */
function remember(calls: SpentCalls[], call: SpentCalls): void {
  while (calls[0] !== undefined && calls[0].now < call.now - DAY_S) calls.shift();
  calls.push(call);
}

function sumOf(calls: readonly SpentCalls[], source: string, now: EpochSeconds): Spent {
  return spentOf(
    calls.filter((call) => call.source === source),
    now,
  );
}

function plus(a: Spent, b: Spent): Spent {
  return { day: a.day + b.day, hour: a.hour + b.hour, minute: a.minute + b.minute };
}
