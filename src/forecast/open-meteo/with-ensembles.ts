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
 * Fall of the air's temperature with height [K/m], by which an ensemble's coarser grid is brought to the height of the
 * single forecast's: ICAO standard atmosphere, and what the service itself takes.
 */
const LAPSE_K_PER_M = 0.0065;

/**
 * The single forecast first, then each member of each ensemble on its axis: with the single's past, wind, cloud and
 * soil, and the ensemble's temperature from the present hour on.
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
  const shiftK = heightShiftK(ensemble, forecast);
  const stepHours = single.temperatureC.map((_, i) => (i < past ? 1 : ensemble.stepHours));
  return ensemble.members.map((member) => ({
    ...single,
    weight: 1,
    model: ensemble.model,
    stepHours,
    temperatureC: single.temperatureC.map((known, i) =>
      i < past ? known : (member.temperatureC[i + offset] ?? Number.NaN) + shiftK,
    ),
  }));
}

/** None where a height is not known. */
function heightShiftK({ gridElevationM }: UsableEnsemble, forecast: Forecast): number {
  if (gridElevationM === null || forecast.gridElevationM === undefined) return 0;
  return (gridElevationM - forecast.gridElevationM) * LAPSE_K_PER_M;
}
