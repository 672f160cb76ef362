import { openService } from '../http/service.ts';
import type { ForecastSource, Point, SourceAnswer } from '../source.ts';
import { hourlyRemark, observationNear, warningsAt } from './beside.ts';
import { gridAt } from './cell.ts';
import { POLICY } from './policy.ts';
import type { NwsOptions, Visit } from './visit.ts';

/** The forecasts, warnings and observations of the US National Weather Service at `baseUrl`. */
export function nwsSource(options: NwsOptions): ForecastSource {
  const service = openService({
    ...options,
    policy: POLICY,
    // Caches of the service tell answers apart by this header: others were seen to hold old ones.
    headers: { accept: 'application/geo+json' },
  });
  return {
    id: options.id,
    fetch: async (points, now, signal) => {
      const visit = { options, service, now, signal, health: { unanswered: 0, outage: null } };
      const answers = new Map<string, SourceAnswer>();
      // One after the other: its limit is not published, and places in one cell share their answers.
      for (const point of points) answers.set(point.id, await answerAt(point, visit));
      return answers;
    },
  };
}

async function answerAt(point: Point, visit: Visit): Promise<SourceAnswer> {
  const located = await gridAt(point, visit);
  if (!located.ok) return await warnedAt(point, located, visit);
  const { cell, grid } = located;
  const { forecast } = grid.value;
  const different = await hourlyRemark(forecast, cell, visit);
  const warnings = await warningsAt(point, visit);
  const observation = await observationNear(point, cell, visit);
  const remarks = [
    ...(grid.value.remarks ?? []),
    ...grid.remarks,
    ...(different === null ? [] : [different]),
    ...warnings.remarks,
  ];
  return {
    ok: true,
    forecast,
    ...(grid.keptSince !== null && { keptSince: grid.keptSince }),
    ...(warnings.alerts !== undefined && { alerts: warnings.alerts }),
    ...(observation !== null && { observation }),
    ...(remarks.length > 0 && { remarks }),
  };
}

/** Words of the service when all is well with it but for the forecast of one office. */
const OFFICE_WITHOUT = /\bForecast(?:GridExpired|MissingData)\b/;

/** A warning in force must not vanish with the grid; a service that is out is not asked on. */
async function warnedAt(
  point: Point,
  failed: Extract<SourceAnswer, { ok: false }>,
  visit: Visit,
): Promise<SourceAnswer> {
  const { code, message } = failed.error;
  if (code !== 'forecast-stale' && !OFFICE_WITHOUT.test(message)) return failed;
  const { alerts } = await warningsAt(point, visit);
  return alerts === undefined ? failed : { ...failed, alerts };
}
