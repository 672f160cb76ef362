/** What weather services said a moment ago, for a round that comes of an answer and not of the schedule. Pure. */
import type { Gathered, OfferedSource, Voice } from '../forecast/gather.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

export interface KeptForecast {
  /** When the services were asked. */
  readonly askedAt: EpochSeconds;
  readonly gathered: Gathered;
}

/** By place. */
export type KeptForecasts = ReadonlyMap<string, KeptForecast>;

/** Models are renewed once an hour at the most, and no public service is asked more often. */
const FRESH_S = 900;

/** What need not be asked for again: whole answers of services, and none that stands in for one that failed. */
export function stillFresh(
  kept: KeptForecasts,
  sources: readonly OfferedSource[],
  now: EpochSeconds,
): KeptForecasts {
  return new Map(
    [...kept].filter(([, { askedAt, gathered }]) => {
      const age = now - askedAt;
      if (age < 0 || age >= FRESH_S || !gathered.ok || gathered.errors.length > 0) return false;
      return [gathered.voice, ...gathered.others].every((voice) => isUsable(voice, sources, now));
    }),
  );
}

/** A file may have been written anew, and reading it costs nobody anything. */
function isUsable(
  { forecast, keptSince }: Voice,
  sources: readonly OfferedSource[],
  now: EpochSeconds,
): boolean {
  const offered = sources.find(({ source }) => source.id === forecast.source);
  if ((offered?.service ?? null) === null || keptSince !== undefined) return false;
  const staleAfterHours = offered?.staleAfterHours ?? null;
  const since = forecast.issuedAt ?? forecast.fetchedAt;
  return staleAfterHours === null || now - since <= staleAfterHours * HOUR_S;
}
