/** Whom the services' terms want named beside scores that are made of their data. Pure. */
import type { SourceConfig } from '../config/config.ts';
import { ATTRIBUTION as MET_NORWAY } from '../forecast/met-norway/parse.ts';
import { ATTRIBUTION as NWS } from '../forecast/nws/grid-parse.ts';
import { ATTRIBUTION as OPEN_METEO } from '../forecast/open-meteo/answer-parse.ts';
import { ARCHIVE_ATTRIBUTION } from '../forecast/open-meteo/archive.ts';
import { earlierName } from './past-answer.ts';

/** A file is the user's own. */
const CREDITS: Readonly<Record<SourceConfig['kind'], readonly string[]>> = {
  file: [],
  nws: [NWS],
  'met-norway': [MET_NORWAY],
  'open-meteo': [OPEN_METEO],
};

interface Used {
  readonly kept: readonly { readonly source: string }[];
  readonly station: readonly unknown[];
  readonly archive: readonly unknown[];
}

export function creditsOf(sources: readonly SourceConfig[], { kept, station, archive }: Used): string[] {
  const used = new Set(kept.map(({ source }) => source));
  const ofForecasts = sources
    .filter(({ id }) => used.has(id) || used.has(earlierName(id)))
    .flatMap(({ kind }) => CREDITS[kind]);
  // Stations are the US service's.
  const ofTruth = [
    ...(station.length > 0 ? [NWS] : []),
    ...(archive.length > 0 ? [ARCHIVE_ATTRIBUTION] : []),
  ];
  return [...new Set([...ofForecasts, ...ofTruth])];
}
