/** What readings held against the forecast give away: a sensor that hangs somewhere else. All limits are engineering estimates. */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { formatDifference, type TemperatureUnit } from '../quantity/temperature.ts';
import { aboveK, median, type Finding, type Sample } from './sensor-value.ts';

interface Question {
  readonly of: 'outside' | 'zone' | 'held';
  readonly unit: TemperatureUnit;
}

const ELSEWHERE = {
  /** Above the forecast by more, at the median, by day as by night [K]: what may be learned ends at 3. */
  warmerK: 4,
  /** Below it by more [K]: a hollow may really be 8 K colder. */
  colderK: 10,
  /** Over a day and a night and half a day more, in so many readings: a sea wind keeps one shore cold for a day. */
  overS: 1.5 * DAY_S,
  readings: 3,
} as const;

/**
 * Off to the same side for longer than a day and a night, in the sun as in the dark: more than forecasts err, and in no way that
 * sun alone explains.
 */
export function elsewhere(samples: readonly Sample[], { of, unit }: Question): Finding[] {
  if (of !== 'outside') return [];
  const known = samples.filter((sample) => !Number.isNaN(aboveK(sample)));
  const windows = dayAndNights(known).map((window) => ({ window, middlesK: middlesK(window) }));
  const off = (sign: 1 | -1, limitK: number): Sample[] => [
    ...new Set(
      windows
        .filter(({ middlesK: middles }) => middles.every((K) => sign * K > limitK))
        // Hours before it was hung there, or after, are sound.
        .flatMap(({ window }) => window.filter((s) => sign * aboveK(s) > limitK / 2)),
    ),
  ];
  return [
    ...findings(off(1, ELSEWHERE.warmerK), 'above', unit),
    ...findings(off(-1, ELSEWHERE.colderK), 'below', unit),
  ];
}

/** Above the forecast at the median, by day and by night, as far as there are readings of them [K]. */
function middlesK(samples: readonly Sample[]): number[] {
  return [samples.filter((s) => s.darkness === 0), samples.filter((s) => s.darkness !== 0)]
    .filter(({ length }) => length > 0)
    .map((part) => median(part.map(aboveK)));
}

/** One for each hour that one can begin in. */
function dayAndNights(samples: readonly Sample[]): Sample[][] {
  const last: EpochSeconds = samples.at(-1)?.at ?? -Infinity;
  const windows: Sample[][] = [];
  for (let from = samples[0]?.at ?? Infinity; from + ELSEWHERE.overS <= last; from += HOUR_S) {
    const window = samples.filter(({ at }) => at >= from && at <= from + ELSEWHERE.overS);
    if (window.length >= ELSEWHERE.readings) windows.push(window);
  }
  return windows;
}

function findings(samples: readonly Sample[], side: 'above' | 'below', unit: TemperatureUnit): Finding[] {
  if (samples.length === 0) return [];
  const off = formatDifference(Math.abs(median(samples.map(aboveK))), unit);
  const message = `For more than a day and a night it read about ${off} ${side} the forecast: it does not hang in the place’s open air, or another thing is measured. Hang it outside in the shade, away from walls, or say its zone; until then it teaches nothing.`;
  return [{ samples, message }];
}
