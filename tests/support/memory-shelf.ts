import { DAY_S, HOUR_S, type EpochSeconds } from '../../src/quantity/instant.ts';
import type { Shelf, Shelved } from '../../src/forecast/http/shelf.ts';

const MINUTE_S = 60;

interface Spend {
  readonly source: string;
  readonly weight: number;
  readonly at: EpochSeconds;
}

/** A shelf without a database, which counts as the database does. */
export function memoryShelf(): Shelf {
  const answers = new Map<string, Shelved>();
  let spends: readonly Spend[] = [];
  const name = (source: string, url: string): string => `${source} ${url}`;
  const since = (period: number, now: EpochSeconds): readonly Spend[] =>
    spends.filter(({ at }) => at >= Math.floor(now / period) * period);
  return {
    find: async (source, url) => answers.get(name(source, url)) ?? null,
    keep: async (source, answer) => void answers.set(name(source, answer.url), answer),
    spent: async (source, now) => {
      const sum = (period: number): number =>
        since(period, now).reduce((total, spend) => total + (spend.source === source ? spend.weight : 0), 0);
      return { day: sum(DAY_S), hour: sum(HOUR_S), minute: sum(MINUTE_S) };
    },
    spend: async (source, weight, at) => {
      spends = [...since(DAY_S, at), { source, weight, at }];
    },
  };
}
