import { DAY_S, type EpochSeconds } from '../../quantity/instant.ts';
import { obtain, type Obtained } from '../http/obtain.ts';
import type { Point } from '../source.ts';
import type { OpenMeteoAccess } from './options.ts';
import { parsePast, type PastSeries } from './past-parse.ts';
import { openMeteoService } from './policy.ts';
import { archiveQuery, dayCount, serviceUrl, TEMPERATURE, type Days } from './request.ts';
import { callWeight } from './weight.ts';

/** The last days are filled in and mended as reanalyses arrive, some five days later: from one day to the next. */
const ARCHIVE_FRESH_S = DAY_S;

export const ARCHIVE_ATTRIBUTION =
  'Past weather by Open-Meteo.com (https://open-meteo.com/), CC BY 4.0; contains ERA5 of the Copernicus Climate Change Service';

export interface ArchiveOptions extends OpenMeteoAccess {
  readonly archiveBaseUrl: string;
}

/** A question about whole UTC days at one place. */
export interface PastAsk {
  readonly point: Point;
  readonly days: Days;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

/** `temperaturesC` of an answer holds one series: the air at 2 m as analysed afterwards. */
export type AskPast = (ask: PastAsk) => Promise<Obtained<PastSeries>>;

/** What the weather was, by Open-Meteo's archive of reanalyses, to score forecasts by. */
export function openMeteoArchive(options: ArchiveOptions): AskPast {
  const service = openMeteoService(options);
  return ({ point, days, now, signal }) => {
    const url = serviceUrl(options.archiveBaseUrl, '/v1/archive', archiveQuery(point, days));
    const ask = { url, now, signal, weight: callWeight(1, dayCount(days)), leastFreshS: ARCHIVE_FRESH_S };
    return obtain(service, ask, (value, fetchedAt) =>
      parsePast(
        value,
        { source: options.id, point, now, fetchedAt },
        { names: [TEMPERATURE], days, attribution: ARCHIVE_ATTRIBUTION },
      ),
    );
  };
}
