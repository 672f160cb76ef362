/** Lines of the user's own, by tube and length. */
import { partWindShare } from './catalogue-wind.ts';
import { ICE_THRESHOLDS } from './ice-thresholds.ts';
import { lineOf } from './tube.ts';
import type { LineSpec, Part, PartHeat, StatedDefault, UnitSpec } from './unit.ts';

/** Tape that regulates itself comes on a little above freezing (2 to 5 °C): common practice. */
const TAPE_ON_BELOW_C = 3;

/** @throws ModelError for an unknown tube. */
export function linePart(line: LineSpec, spec: UnitSpec): Part {
  const vessel = lineOf(line);
  const { blocked, solid } = spec.thresholds ?? ICE_THRESHOLDS;
  return {
    id: line.id,
    label: line.label ?? line.id,
    zone: line.zone,
    circuit: line.circuit,
    waterKg: vessel.waterKg,
    conductanceWPerK: vessel.conductanceWPerK,
    windShare: partWindShare(line.zone, spec),
    wallHeatCapacityJPerK: vessel.wallHeatCapacityJPerK,
    startTemperatureC: null,
    body: bodyOfTube(line.tube),
    blocked: blocked[bodyOfTube(line.tube)],
    solid,
    iceLayerRatio: vessel.iceLayerRatio,
    pocket: 'never',
    provenance: 'derived',
    film: { diameterM: vessel.diameterM, fixedShare: vessel.fixedShare },
    ...(line.tapeWPerM > 0 ? { heat: tapeOf(line) } : {}),
  };
}

/** Copper splits; PEX and hose give way. */
function bodyOfTube(tube: string): Part['body'] {
  return tube.startsWith('copper') ? 'rigid' : 'flexible';
}

function tapeOf({ tapeWPerM, lengthM }: LineSpec): PartHeat {
  return { watts: tapeWPerM * lengthM, onBelowC: TAPE_ON_BELOW_C, needs: 'shore' };
}

export function linesStated(lines: readonly LineSpec[], parts: readonly Part[]): StatedDefault[] {
  return lines.flatMap((line) => {
    const part = parts.find(({ id }) => id === line.id);
    if (part === undefined) return [];
    const water = `${Number(part.waterKg.toPrecision(3))} kg, ${Number(part.conductanceWPerK.toPrecision(3))} W/K`;
    const note = `${line.tube}, ${Number(line.lengthM.toPrecision(3))} m, in calm air; contents by published bores`;
    const dimensions = { path: `parts.${line.id}`, value: water, provenance: 'derived', note } as const;
    if (part.heat === undefined) return [dimensions];
    const tape = `${Number(part.heat.watts.toPrecision(3))} W below ${TAPE_ON_BELOW_C} °C, needs shore power`;
    const range = 'tape comes on below 3 °C (2 to 5)';
    return [
      dimensions,
      { path: `parts.${line.id}.heat`, value: tape, provenance: 'practice', note: range } as const,
    ];
  });
}
