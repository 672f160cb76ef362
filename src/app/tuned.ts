/** A unit as the readings in its own zones speak for: belly skin and ducted share. Pure. */
import type { Config, UnitConfig } from '../config/config.ts';
import { asItStands } from '../decision/options.ts';
import { isZone, type ZoneId } from '../model/unit.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { formatDifference } from '../quantity/temperature.ts';
import { judgeSensor } from '../verify/sensor.ts';
import { tune, type TuneResult, type ZoneReading } from '../verify/tune.ts';
import { tunables, tunedUnit, zonesIn, type Tuning } from '../verify/tuned-unit.ts';
import { nightOf, type Spot } from '../weather/local-correction.ts';
import type { SourcedOutlook } from '../weather/outlook.ts';
import type { Reading } from '../weather/reading.ts';

export interface TuningQuestion {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly water: UnitWater;
  readonly spot: Spot;
  readonly outlook: SourcedOutlook;
  /** Of the place and all its units. */
  readonly readings: readonly Reading[];
  readonly now: EpochSeconds;
}

export interface Tuned {
  readonly unit: UnitConfig;
  /** What the readings said, or why they are not believed; none where there are none. */
  readonly sentences: readonly string[];
}

export function tunedByReadings(question: TuningQuestion): Tuned {
  const { config, unit, readings, now } = question;
  const own = readings.filter((r) => r.unit === unit.id && r.zone !== 'outside' && r.at <= now);
  if (!config.weather.learn || own.length === 0) return { unit, sentences: [] };
  const judged = believed(question, own);
  const result = tune({
    readings: judged.readings,
    night: nightOf(question.spot, question.outlook.firstHour, question.outlook.hours),
    ...tunables(unit.spec),
    simulate: simulation(question),
  });
  const sentences = [...judged.doubts, sentence(unit, result, config)];
  return { unit: result.kind === 'tuned' ? withTuning(unit, result.tuning) : unit, sentences };
}

/** Sensors of each zone are judged by themselves. */
function believed(
  { config, unit, spot, outlook, now }: TuningQuestion,
  own: readonly Reading[],
): { readonly readings: readonly ZoneReading[]; readonly doubts: readonly string[] } {
  const zones = [...new Set(own.map(({ zone }) => zone))].filter(isZone);
  const verdicts = zones.map((zone) => {
    const readings = own.filter((r) => r.zone === zone);
    const verdict = judgeSensor({
      readings,
      of: zone === 'inside' && unit.model.heat !== null ? 'held' : 'zone',
      forecast: { firstHour: outlook.firstHour, temperatureC: outlook.untaught.meanC },
      night: nightOf(spot, outlook.firstHour, outlook.hours),
      now,
      unit: config.display.temperature,
    });
    return {
      zone,
      readings: readings.filter((_, i) => verdict.doubts[i] === null),
      summary: verdict.summary,
    };
  });
  return {
    readings: verdicts.flatMap(({ zone, readings }) => readings.map((r) => ({ ...r, zone }))),
    doubts: verdicts.flatMap(({ summary }) => summary.map(({ message }) => message)),
  };
}

function simulation({
  unit,
  water,
  outlook,
  now,
}: TuningQuestion): (tuning: Tuning) => (zone: ZoneId) => Series {
  const member = outlook.members[outlook.middle];
  const { plan } = asItStands(unit.model, water, now);
  if (member === undefined) return () => () => ({ firstHour: outlook.firstHour, temperatureC: [] });
  return zonesIn(unit.model, { firstHour: outlook.firstHour, member, plan });
}

type Series = ReturnType<ReturnType<ReturnType<typeof zonesIn>>>;

function withTuning(unit: UnitConfig, tuning: Tuning): UnitConfig {
  return {
    ...unit,
    model: tunedUnit(unit.model, tuning),
    keptWarm: unit.keptWarm === null ? null : tunedUnit(unit.keptWarm, tuning),
  };
}

function sentence({ label }: UnitConfig, result: TuneResult, { display }: Config): string {
  if (result.kind === 'refused') return `Readings in ${label}: ${result.message}`;
  const { tuning, hours, misfitBeforeK, misfitK } = result;
  const skin =
    tuning.skinFactor === null
      ? []
      : [`its belly skin as letting through ${tuning.skinFactor.toFixed(2)} times the usual`];
  const duct =
    tuning.ductedShare === null
      ? []
      : [`${(100 * tuning.ductedShare).toFixed(1)} % of the furnace’s heat as going below`];
  const off = [misfitBeforeK, misfitK].map((kelvin) => formatDifference(kelvin, display.temperature));
  return `By ${hours} hours of readings in ${label} by night, ${[...skin, ...duct].join(', and ')} is taken: the model was off by ${off.join(', and is now by ')}.`;
}
