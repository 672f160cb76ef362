import { floorToHour, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast, ForecastMember } from '../../weather/forecast.ts';
import type { EnsembleMember } from './ensemble-parse.ts';

/** An ensemble that is used beside the single forecast. */
export interface UsableEnsemble {
  readonly model: string;
  readonly firstHour: EpochSeconds;
  readonly gridElevationM: number | null;
  readonly members: readonly EnsembleMember[];
  /** The step at which it is really computed [h]. */
  readonly stepHours: number;
  /** When its run could be asked for; null: not known. */
  readonly availableAt: EpochSeconds | null;
}

/**
 * The single forecast first, then each member of each ensemble on its axis: with the single's past, wind, cloud and
 * soil, and from the present hour on the ensemble's temperature, as it is at the height of the ensemble's own cell.
 */
export function withEnsembles(
  forecast: Forecast,
  ensembles: readonly UsableEnsemble[],
  now: EpochSeconds,
): Forecast {
  const [single] = forecast.members;
  if (single === undefined || ensembles.length === 0) return forecast;
  const past = Math.max(0, (floorToHour(now) - forecast.firstHour) / HOUR_S);
  const runs = ensembles.flatMap(({ availableAt }) => (availableAt === null ? [] : [availableAt]));
  return {
    ...forecast,
    issuedAt: runs.length === 0 ? null : Math.min(...runs),
    members: [single, ...ensembles.flatMap((ensemble) => pooled(ensemble, { single, forecast, past }))],
  };
}

interface Base {
  readonly single: ForecastMember;
  readonly forecast: Forecast;
  /** Hours before the present one. */
  readonly past: number;
}

function pooled(ensemble: UsableEnsemble, { single, forecast, past }: Base): readonly ForecastMember[] {
  const offset = (forecast.firstHour - ensemble.firstHour) / HOUR_S;
  const { gridElevationM } = ensemble;
  // A server that brings all to the place's height leaves nothing to be told of cells.
  const hasCell = gridElevationM !== null && forecast.gridElevationM !== undefined;
  const stepHours = single.temperatureC.map((_, i) => (i < past ? 1 : ensemble.stepHours));
  return ensemble.members.map((member) => ({
    ...single,
    weight: 1,
    model: ensemble.model,
    ...(hasCell && { gridElevationM }),
    stepHours,
    temperatureC: single.temperatureC.map((known, i) =>
      i < past ? known : (member.temperatureC[i + offset] ?? Number.NaN),
    ),
  }));
}
