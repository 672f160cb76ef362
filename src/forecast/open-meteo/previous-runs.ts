import { HOUR_S } from '../../quantity/instant.ts';
import { obtain } from '../http/obtain.ts';
import type { AskPast } from './archive.ts';
import type { OpenMeteoAccess } from './options.ts';
import { ATTRIBUTION } from './answer-parse.ts';
import { parsePast } from './past-parse.ts';
import { openMeteoService } from './policy.ts';
import { dayCount, LEAD_DAYS, leadVariable, previousRunsQuery, serviceUrl } from './request.ts';
import { callWeight } from './weight.ts';

const PREVIOUS_RUNS_FRESH_S = 6 * HOUR_S;

export interface PreviousRunsOptions extends OpenMeteoAccess {
  readonly previousRunsBaseUrl: string;
}

/** What was forecast for past days, one series for each lead of 1 to 7 days, in that order. */
export function openMeteoPreviousRuns(options: PreviousRunsOptions): AskPast {
  const service = openMeteoService(options);
  const names = LEAD_DAYS.map(leadVariable);
  return ({ point, days, now, signal }) => {
    const url = serviceUrl(options.previousRunsBaseUrl, '/v1/forecast', previousRunsQuery(point, days));
    const weight = callWeight(names.length, dayCount(days));
    const ask = { url, now, signal, weight, leastFreshS: PREVIOUS_RUNS_FRESH_S };
    return obtain(service, ask, (value, fetchedAt) =>
      parsePast(
        value,
        { source: options.id, point, now, fetchedAt },
        { names, days, attribution: ATTRIBUTION },
      ),
    );
  };
}
