import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { metaWire } from './wire.ts';

/** How new a model's data are. */
export interface ModelState {
  /** When its last run could be asked for. */
  readonly availableAt: EpochSeconds;
  /** The step at which the model is really computed [h]; null: it does not say, or not sensibly. */
  readonly stepHours: number | null;
}

/** The first instant that can be meant: 2020. Milliseconds, zeros and runs to come are no instants of a run. */
const EARLIEST = 50 * 365.25 * DAY_S;

/** Null: the text says nothing that can be relied on. */
export function parseMeta(value: unknown, now: EpochSeconds): ModelState | null {
  const wire = metaWire.safeParse(value);
  if (!wire.success) return null;
  const availableAt = wire.data.last_run_availability_time;
  if (availableAt < EARLIEST || availableAt > now + HOUR_S) return null;
  const step = (wire.data.temporal_resolution_seconds ?? Number.NaN) / HOUR_S;
  return { availableAt, stepHours: step === 1 || step === 3 || step === 6 ? step : null };
}
