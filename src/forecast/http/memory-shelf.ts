import { DAY_S, HOUR_S } from '../../quantity/instant.ts';
import type { Shelf, Shelved } from './shelf.ts';

const MINUTE_S = 60;

/** A shelf that lives as long as the process: for uses without a database. */
export function memoryShelf(): Shelf {
  const answers = new Map<string, Shelved>();
  const spends: { readonly source: string; readonly weight: number; readonly at: number }[] = [];
  const name = (source: string, url: string): string => `${source} ${url}`;
  return {
    find: async (source, url) => answers.get(name(source, url)) ?? null,
    keep: async (source, answer) => void answers.set(name(source, answer.url), answer),
    spent: async (source, now) => {
      const since = (period: number): number =>
        spends
          .filter((spend) => spend.source === source && spend.at >= Math.floor(now / period) * period)
          .reduce((sum, { weight }) => sum + weight, 0);
      return { day: since(DAY_S), hour: since(HOUR_S), minute: since(MINUTE_S) };
    },
    spend: async (source, weight, at) => void spends.push({ source, weight, at }),
  };
}
