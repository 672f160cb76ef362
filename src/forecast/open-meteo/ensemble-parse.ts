import { HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Read } from '../http/obtain.ts';
import { heightM, lengthProblem, placeOnAxis, placeProblem, readAxis, refusal } from './answer-parse.ts';
import { TEMPERATURE_RANGE_C, unitProblem, type Asked } from './answer-parse.ts';
import { TEMPERATURE } from './request.ts';
import { firstIssue, namedSeriesWire } from './wire.ts';

/** One ensemble for one place: its members' temperatures [°C] on one hourly axis, NaN for an unknown hour. */
export interface Ensemble {
  readonly firstHour: EpochSeconds;
  readonly gridElevationM: number | null;
  readonly members: readonly EnsembleMember[];
}

export interface EnsembleMember {
  /** 0 is the control run. */
  readonly number: number;
  readonly temperatureC: readonly number[];
}

/** The control has no number, and a model's name follows only where more than one answered. */
const MEMBER = new RegExp(`^${TEMPERATURE}(?:_member(\\d{2,3}))?(?:_(?!member)[a-z0-9_]+)?$`);

/** An ensemble that ends earlier says nothing about the days that advice is about. */
const SHORTEST_HOURS = 72;

export function parseEnsemble(value: unknown, asked: Asked): Read<Ensemble> {
  const parsed = namedSeriesWire.safeParse(value);
  if (!parsed.success) {
    const what = `answered in an unexpected shape (${firstIssue(parsed.error)})`;
    return { ok: false, error: refusal('source-body', asked, what) };
  }
  const wire = parsed.data;
  const names = Object.keys(wire.hourly).filter((name) => MEMBER.test(name));
  const numbers = names.map((name) => Number(MEMBER.exec(name)?.[1] ?? 0));
  const units = Object.fromEntries(names.map((name) => [name, '°C']));
  const error =
    placeProblem(wire, asked) ??
    (new Set(numbers).size < numbers.length
      ? refusal('source-body', asked, 'answered the same member of an ensemble twice')
      : null) ??
    lengthProblem(wire.hourly, names, asked) ??
    unitProblem(wire, units, asked);
  if (error !== null) return { ok: false, error };
  const axis = readAxis(wire.hourly.time, asked);
  if (axis instanceof Error) return { ok: false, error: axis };
  const members = names.map((name, i) => ({
    number: numbers[i] ?? Number.NaN,
    temperatureC: placeOnAxis(wire.hourly[name] ?? [], axis, TEMPERATURE_RANGE_C),
  }));
  const gridElevationM = heightM(wire.elevation);
  return judged({ firstHour: axis.firstHour, gridElevationM, members }, asked);
}

function judged(ensemble: Ensemble, asked: Asked): Read<Ensemble> {
  const last = Math.max(
    -1,
    ...ensemble.members.map(({ temperatureC }) => temperatureC.findLastIndex((t) => !Number.isNaN(t))),
  );
  if (last < 0) return { ok: false, error: refusal('forecast-empty', asked, 'knows no temperature') };
  if (ensemble.members.length < 2) {
    const error = refusal('source-body', asked, 'answered one member only');
    return { ok: false, error };
  }
  if (ensemble.firstHour + last * HOUR_S >= asked.now + SHORTEST_HOURS * HOUR_S) {
    return { ok: true, value: ensemble };
  }
  const what = `knows no temperature beyond the next ${SHORTEST_HOURS} hours`;
  return { ok: false, error: refusal('forecast-empty', asked, what) };
}
