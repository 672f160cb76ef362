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

/** One that begins later than this after now is about another time. */
const LATEST_START_HOURS = 2;

/** An ensemble that reaches far enough to be of use, or the reason why it is none. */
export function parseEnsemble(value: unknown, asked: Asked): Read<Ensemble> {
  const read = readEnsemble(value, asked);
  return read.ok ? judged(read.value, asked) : read;
}

/** What an answer says, however little that is. */
export function readEnsemble(value: unknown, asked: Asked): Read<Ensemble> {
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
  return { ok: true, value: { firstHour: axis.firstHour, gridElevationM, members } };
}

function judged(ensemble: Ensemble, asked: Asked): Read<Ensemble> {
  const { members, firstHour } = ensemble;
  const refuse = (code: 'forecast-empty' | 'source-body', what: string): Read<Ensemble> => ({
    ok: false,
    error: refusal(code, asked, what),
  });
  if (members.length < 2) return refuse('source-body', 'answered one member only');
  const known = members.map(({ temperatureC }) => knownHours(temperatureC, firstHour));
  const last = Math.max(...known.map((hours) => hours.at(-1) ?? Number.NEGATIVE_INFINITY));
  const next = Math.min(
    ...known.map((hours) => hours.find((hour) => hour >= asked.now - HOUR_S) ?? Infinity),
  );
  if (!Number.isFinite(last)) return refuse('forecast-empty', 'knows no temperature');
  if (next > asked.now + LATEST_START_HOURS * HOUR_S) {
    return refuse('forecast-empty', `knows no temperature within ${LATEST_START_HOURS} hours of now`);
  }
  if (last >= asked.now + SHORTEST_HOURS * HOUR_S) return { ok: true, value: ensemble };
  return refuse('forecast-empty', `knows no temperature beyond the next ${SHORTEST_HOURS} hours`);
}

function knownHours(temperatureC: readonly number[], firstHour: EpochSeconds): readonly EpochSeconds[] {
  return temperatureC.flatMap((t, hour) => (Number.isNaN(t) ? [] : [firstHour + hour * HOUR_S]));
}
