import { DAY_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Read } from '../http/obtain.ts';
import { heightM, lengthProblem, placeOnAxis, placeProblem, readAxis, refusal } from './answer-parse.ts';
import { TEMPERATURE_RANGE_C, unitProblem, type Asked } from './answer-parse.ts';
import { dayCount, type Days } from './request.ts';
import { firstIssue, namedSeriesWire } from './wire.ts';

/** What was, or what was once said of it, for one place: hourly, UTC, NaN for an unknown hour. */
export interface PastSeries {
  /** Shown wherever the data is shown. */
  readonly attribution: string;
  readonly firstHour: EpochSeconds;
  /** What the temperatures are for [m]; null: not said. */
  readonly gridElevationM: number | null;
  /** One series [°C] for each variable asked for, in their order, all of one length. */
  readonly temperaturesC: readonly (readonly number[])[];
}

export interface PastQuestion {
  /** The variables asked for. */
  readonly names: readonly string[];
  readonly days: Days;
  readonly attribution: string;
}

/** Reads an answer about whole days of the past; hours that are left out at its end are unknown. */
export function parsePast(
  value: unknown,
  asked: Asked,
  { names, days, attribution }: PastQuestion,
): Read<PastSeries> {
  const parsed = namedSeriesWire.safeParse(value);
  if (!parsed.success) {
    const what = `answered in an unexpected shape (${firstIssue(parsed.error)})`;
    return { ok: false, error: refusal('source-body', asked, what) };
  }
  const wire = parsed.data;
  const units = Object.fromEntries(names.map((name) => [name, '°C']));
  const error =
    placeProblem(wire, asked) ??
    missing(wire.hourly, names, asked) ??
    lengthProblem(wire.hourly, names, asked) ??
    unitProblem(wire, units, asked);
  if (error !== null) return { ok: false, error };
  const longestS = dayCount(days) * DAY_S;
  const axis = readAxis(wire.hourly.time, asked, longestS);
  if (axis instanceof Error) return { ok: false, error: axis };
  const firstHour = Math.floor(days.from / DAY_S) * DAY_S;
  if (axis.firstHour !== firstHour) {
    return { ok: false, error: refusal('source-body', asked, 'answered other days than were asked for') };
  }
  const temperaturesC = names.map((name) => placeOnAxis(wire.hourly[name] ?? [], axis, TEMPERATURE_RANGE_C));
  return {
    ok: true,
    value: { attribution, firstHour, gridElevationM: heightM(wire.elevation), temperaturesC },
  };
}

function missing(hourly: object, names: readonly string[], asked: Asked): ReturnType<typeof refusal> | null {
  const left = names.find((name) => !Object.hasOwn(hourly, name));
  return left === undefined ? null : refusal('source-body', asked, `left out ${left}`);
}
