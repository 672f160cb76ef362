/** What single values and instants give away: clocks, units, values that no air has. */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { formatTemperature, type TemperatureUnit } from '../quantity/temperature.ts';

/** A reading in order of time, with what was to be expected. */
export interface Sample {
  /** In the readings as they were given. */
  readonly index: number;
  readonly at: EpochSeconds;
  readonly temperatureC: number;
  /** Of the air outside; NaN: unknown. */
  readonly forecastC: number;
  /** 0 by day to 1 by night; NaN: unknown. */
  readonly darkness: number;
  /** 0 overcast to 1 clear; NaN: unknown. */
  readonly clear: number;
}

/** Readings that cannot be believed for one and the same reason. */
export interface Finding {
  readonly samples: readonly Sample[];
  readonly message: string;
}

/** Clocks may differ by so much. */
const CLOCK_S = 600;
/** For so long what the forecast said is at hand to hold a reading against. */
const OLD_S = 30 * DAY_S;
/** No air that a trailer stands in, and none that a probe in one is for. */
const COLDEST_C = -60;
const HOTTEST_C = 60;
/** A zone is no warmer in weather no warmer than this. */
const WARMEST_ZONE_C = 40;
const MILD_C = 15;

export function ofTheFuture(samples: readonly Sample[], { now }: { now: EpochSeconds }): Finding[] {
  return findingOf(
    samples.filter(({ at }) => !(at <= now + CLOCK_S)),
    'The reading is of a time to come. Set the clock of the sensor or of what passes its readings on.',
  );
}

export function tooOld(samples: readonly Sample[], { now }: { now: EpochSeconds }): Finding[] {
  return findingOf(
    samples.filter(({ at }) => at < now - OLD_S),
    'The reading is more than 30 days old: there is nothing left to compare it with. Send readings as they are made.',
  );
}

export function absurd(samples: readonly Sample[], { unit }: { unit: TemperatureUnit }): Finding[] {
  const [coldest, hottest] = [formatTemperature(COLDEST_C, unit), formatTemperature(HOTTEST_C, unit)];
  return findingOf(
    samples.filter(({ temperatureC: t }) => !(t >= COLDEST_C && t <= HOTTEST_C)),
    `The sensor gave no temperature between ${coldest} and ${hottest}. Look at its cable and its battery.`,
  );
}

/** How far off a value must be as it is, and how near once converted [K]. Engineering estimates. */
const OFF_K = 8;
const NEAR_K = 4;
/** So many in a row, over so long: weather that was forecast wrong can look like it for an hour or two. */
const IN_A_ROW = 6;
const FOR_S = 3 * HOUR_S;

const OTHER_UNIT = [
  {
    converted: (t: number): number => (t - 32) / 1.8,
    message: 'The values fit the forecast if they are °F that were taken as °C. Say the unit of the sensor.',
  },
  {
    converted: (t: number): number => t * 1.8 + 32,
    message: 'The values fit the forecast if they are °C that were taken as °F. Say the unit of the sensor.',
  },
] as const;

export function inOtherUnit(
  samples: readonly Sample[],
  { of }: { of: 'outside' | 'zone' | 'held' },
): Finding[] {
  if (of !== 'outside') return zoneTooWarm(samples);
  return OTHER_UNIT.flatMap(({ converted, message }) => {
    const fits = ({ temperatureC: t, forecastC }: Sample): boolean =>
      Math.abs(t - forecastC) > OFF_K && Math.abs(converted(t) - forecastC) <= NEAR_K;
    return runs(samples, (sample) => fits(sample))
      .filter((run) => run.length >= IN_A_ROW && spanS(run) >= FOR_S)
      .map((run) => ({ samples: run, message }));
  });
}

function zoneTooWarm(samples: readonly Sample[]): Finding[] {
  return findingOf(
    samples.filter((s) => s.temperatureC > WARMEST_ZONE_C && s.forecastC < MILD_C),
    'The value is warmer than a trailer gets in this weather, as °F taken as °C would be. Say the unit of the sensor.',
  );
}

function findingOf(samples: readonly Sample[], message: string): Finding[] {
  return samples.length === 0 ? [] : [{ samples, message }];
}

/** Longest stretches of samples that belong with the first of their stretch. */
export function runs(
  samples: readonly Sample[],
  belongs: (sample: Sample, first: Sample) => boolean,
): Sample[][] {
  const found: Sample[][] = [];
  let run: Sample[] = [];
  for (const sample of samples) {
    if (belongs(sample, run[0] ?? sample)) run.push(sample);
    else {
      found.push(run);
      run = belongs(sample, sample) ? [sample] : [];
    }
  }
  return [...found, run].filter(({ length }) => length > 0);
}

/** From the first to the last. */
export function spanS(run: readonly Sample[]): number {
  return (run.at(-1)?.at ?? 0) - (run[0]?.at ?? 0);
}

/** [K]; NaN where the forecast is unknown. */
export function aboveK({ temperatureC, forecastC }: Sample): number {
  return temperatureC - forecastC;
}

/** The lower of the two in the middle. */
export function median(values: readonly number[]): number {
  return values.toSorted((x, y) => x - y)[Math.floor((values.length - 1) / 2)] ?? Number.NaN;
}
