/**
 * What no weather of a grid does. A foehn may break by tens of kelvin within minutes, at single spots; the cells of a
 * forecast model do not hold that, so there it is a fault of the data. Limits: engineering estimates.
 */
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast, ForecastMember } from './forecast.ts';

/** One hour, or two, further off both hours beside them than this are a spike [K]. */
const SPIKE_K = 10;
/** A lasting change by more than this from one hour to the next [K]. */
const JUMP_K = 25;
/** So many unknown hours in a row are a hole that nobody bridges. */
const HOLE_HOURS = 3;

export interface Checked {
  readonly forecast: Forecast;
  /** What was refused: full sentences. */
  readonly sentences: readonly string[];
}

/**
 * Spikes become unknown. Behind a jump in a single forecast there is a hole: ahead of now in the hours after it, in
 * the past in the hours before it. Members of an ensemble that jump are left out, since the others go on.
 */
export function refuseImpossible(forecast: Forecast, now: EpochSeconds): Checked {
  const present = Math.floor((now - forecast.firstHour) / HOUR_S);
  const smooth = forecast.members.map(withoutSpikes);
  const jumping = smooth.map(({ member }) => jumpsOf(member.temperatureC));
  const members = smooth.flatMap(({ member }, m) => {
    const jumps = jumping[m] ?? [];
    if (jumps.length === 0) return [member];
    return member.model === undefined ? [withHoles(member, jumps, present)] : [];
  });
  const spikes = smooth.reduce((sum, s) => sum + s.spikes, 0);
  const sentences = spikes > 0 ? [spikeSentence(spikes)] : [];
  const left = jumping.filter((jumps, m) => jumps.length > 0 && forecast.members[m]?.model !== undefined);
  if (left.length > 0) sentences.push(memberSentence(left.length));
  const single = jumping.flatMap((jumps, m) => (forecast.members[m]?.model === undefined ? jumps : []));
  const times = [...new Set(single)].toSorted((a, b) => a - b).map((i) => forecast.firstHour + i * HOUR_S);
  sentences.push(...times.map((at) => jumpSentence(at, now)));
  return { forecast: { ...forecast, members }, sentences };
}

function withoutSpikes(member: ForecastMember): { member: ForecastMember; spikes: number } {
  const values = member.temperatureC;
  const at = (i: number): number => values[i] ?? Number.NaN;
  const off = (i: number, from: number, to: number): number => {
    const [a, b] = [at(i) - at(from), at(i) - at(to)];
    return Math.sign(a) === Math.sign(b) ? Math.min(Math.abs(a), Math.abs(b)) : 0;
  };
  const result = [...values];
  let spikes = 0;
  for (let i = 1; i + 1 < values.length; i++) {
    const one = off(i, i - 1, i + 1) > SPIKE_K;
    const two = !one && off(i, i - 1, i + 2) > SPIKE_K && off(i + 1, i - 1, i + 2) > SPIKE_K;
    const width = one ? 1 : two ? 2 : 0;
    if (width === 0) continue;
    result.fill(Number.NaN, i, i + width);
    spikes += width;
    i += width;
  }
  return { member: spikes === 0 ? member : { ...member, temperatureC: result }, spikes };
}

/** The hours that stand too far off the last known one, at most two unknown ones between. */
function jumpsOf(values: readonly number[]): number[] {
  const jumps: number[] = [];
  let last = -1;
  values.forEach((value, i) => {
    if (Number.isNaN(value)) return;
    const hours = i - last;
    const from = values[last] ?? Number.NaN;
    if (last >= 0 && hours <= HOLE_HOURS && Math.abs(value - from) > JUMP_K * hours) jumps.push(i);
    last = i;
  });
  return jumps;
}

function withHoles(member: ForecastMember, jumps: readonly number[], present: number): ForecastMember {
  const temperatureC = [...member.temperatureC];
  for (const jump of jumps) {
    const from = jump > present ? jump : jump - HOLE_HOURS;
    temperatureC.fill(Number.NaN, Math.max(0, from), Math.max(0, from + HOLE_HOURS));
  }
  return { ...member, temperatureC };
}

function spikeSentence(hours: number): string {
  const [stood, are] = hours === 1 ? ['1 hour stands', 'is'] : [`${hours} hours stand`, 'are'];
  return `${stood} more than ${SPIKE_K} K (${1.8 * SPIKE_K} °F) off the hours on both sides and ${are} taken as unknown.`;
}

function memberSentence(members: number): string {
  const [jump, are] =
    members === 1 ? ['1 member of an ensemble jumps', 'is'] : [`${members} members of ensembles jump`, 'are'];
  return `${jump} by more than ${JUMP_K} K (${1.8 * JUMP_K} °F) within an hour and ${are} left out.`;
}

function jumpSentence(at: EpochSeconds, now: EpochSeconds): string {
  const what = at > now ? 'From there on it is not believed.' : 'What lies before that is not believed.';
  return `At ${isoSecond(at)} the forecast jumps by more than ${JUMP_K} K (${1.8 * JUMP_K} °F) within an hour. ${what}`;
}
