import type { Outlook, SourcedOutlook } from '../../src/weather/outlook.ts';

/** An outlook of which readings have taught nothing: mean and deviation are its members' own. */
export function sourced(outlook: Outlook): SourcedOutlook {
  const over = (of: (t: number, hour: number) => number): Float64Array =>
    Float64Array.from({ length: outlook.hours }, (_, hour) =>
      outlook.members.reduce((sum, m) => sum + m.weight * of(m.temperatureC[hour] ?? Number.NaN, hour), 0),
    );
  const meanC = over((t) => t);
  const deviationK = over((t, hour) => (t - meanC[hour]!) ** 2).map(Math.sqrt);
  const full = new Float64Array(outlook.hours).fill(1);
  return { ...outlook, stretches: [], untaught: { meanC, deviationK, clear: full, calm: full } };
}
