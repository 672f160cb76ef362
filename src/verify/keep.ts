/** What is kept of a forecast to be scored once the weather has come. */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutlookMember, SourcedOutlook } from '../weather/outlook.ts';
import type { KeptForecast } from './kept-forecast.ts';

const LAST_LEAD_DAY = 7;
const HOURS_A_DAY = 24;

/** One for each UTC day from today to the seventh after it that the outlook covers from its first hour to its last. */
export function keptForecasts(
  outlook: SourcedOutlook,
  { place, keptAt }: { place: string; keptAt: EpochSeconds },
): KeptForecast[] {
  const today = Math.floor(keptAt / DAY_S) * DAY_S;
  const kept: KeptForecast[] = [];
  const small = fewMembersFactor(outlook.members);
  for (let leadDay = 0; leadDay <= LAST_LEAD_DAY; leadDay++) {
    const validDay = today + leadDay * DAY_S;
    const first = (validDay - outlook.firstHour) / HOUR_S;
    if (first < 0 || first + HOURS_A_DAY > outlook.hours) continue;
    kept.push({
      place,
      source: outlook.source,
      keptAt,
      validDay,
      leadDay,
      ...dayOf(outlook.members, first),
      untaught: {
        meanC: hoursOf(outlook.untaught.meanC, first),
        deviationK: hoursOf(outlook.untaught.deviationK, first).map((deviation) => deviation * small),
      },
    });
  }
  return kept;
}

function hoursOf(values: Float64Array, first: number): number[] {
  return [...values.subarray(first, first + HOURS_A_DAY)];
}

type Day = Omit<KeptForecast, 'place' | 'source' | 'keptAt' | 'validDay' | 'leadDay' | 'untaught'>;

function dayOf(members: readonly OutlookMember[], first: number): Day {
  const laws = Array.from({ length: HOURS_A_DAY }, (_, hour) => lawAt(members, first + hour));
  const quantile = (probability: number): number[] => laws.map((law) => weightedQuantile(law, probability));
  return {
    meanC: laws.map(weightedMean),
    deviationK: laws.map(deviationK),
    quantilesC: {
      q05: quantile(0.05),
      q25: quantile(0.25),
      q50: quantile(0.5),
      q75: quantile(0.75),
      q95: quantile(0.95),
    },
    below0: laws.map((law) => weightOf(law, (t) => t < 0)),
    atOrBelowMinus4: laws.map((law) => weightOf(law, (t) => t <= -4)),
  };
}

interface Share {
  readonly weight: number;
  readonly valueC: number;
}

/** Coldest first. Empty where any member knows nothing: the rest would be another law. */
function lawAt(members: readonly OutlookMember[], hour: number): Share[] {
  const law = members.map(({ weight, temperatureC }) => ({
    weight,
    valueC: temperatureC[hour] ?? Number.NaN,
  }));
  if (law.some(({ valueC }) => Number.isNaN(valueC))) return [];
  return law.toSorted((x, y) => x.valueC - y.valueC);
}

function weightedMean(law: readonly Share[]): number {
  return sum(law, ({ weight, valueC }) => weight * valueC) / sum(law, ({ weight }) => weight);
}

function deviationK(law: readonly Share[]): number {
  if (law.length === 1) return 0;
  const centre = weightedMean(law);
  const variance = sum(law, ({ weight, valueC }) => weight * (valueC - centre) ** 2);
  return Math.sqrt(variance) * fewMembersFactor(law);
}

/** Few members stand closer together than their law; N of unlike weight count as 1/Σw² of like weight. */
function fewMembersFactor(members: readonly { readonly weight: number }[]): number {
  const N = 1 / members.reduce((total, { weight }) => total + weight ** 2, 0);
  return members.length === 1 ? 1 : Math.sqrt((N + 1) / (N - 1));
}

/**
 * Each member stands at the middle of its weight, linear in between, the outermost ones as they are: of like weights
 * that is Hazen's rule (Hyndman and Fan 1996, The American Statistician 50:361-365, definition 5).
 */
export function weightedQuantile(law: readonly Share[], probability: number): number {
  let below = 0;
  let last: { middle: number; valueC: number } | null = null;
  for (const { weight, valueC } of law) {
    const middle = below + weight / 2;
    if (middle >= probability) {
      if (last === null) return valueC;
      return last.valueC + ((probability - last.middle) * (valueC - last.valueC)) / (middle - last.middle);
    }
    below += weight;
    last = { middle, valueC };
  }
  return last?.valueC ?? Number.NaN;
}

function weightOf(law: readonly Share[], is: (valueC: number) => boolean): number {
  if (law.length === 0) return Number.NaN;
  return sum(law, ({ weight, valueC }) => (is(valueC) ? weight : 0));
}

function sum(law: readonly Share[], term: (share: Share) => number): number {
  return law.reduce((total, share) => total + term(share), 0);
}
