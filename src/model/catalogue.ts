/** From what the config says of a unit's body to what the model computes with. */
import { buildElectrics, electricsStated } from './catalogue-electrics.ts';
import { SHORE_LASTS, buildHeat, heatAssumptions, heatStated } from './catalogue-heat.ts';
import { linePart, linesStated } from './catalogue-lines.ts';
import { buildShell } from './catalogue-shell.ts';
import { warmersStated } from './catalogue-warmers.ts';
import { ownPart, wetParts } from './catalogue-wet.ts';
import { windReaching, windStated } from './catalogue-wind.ts';
import type { Part, UnitModel, UnitSpec } from './unit.ts';

/** @throws ModelError when the user's own network or line cannot be. */
export function buildUnit(spec: UnitSpec): UnitModel {
  const shell = buildShell(spec);
  const heat = buildHeat(spec);
  const lines = spec.parts.lines ?? [];
  const parts = [
    ...(spec.parts.catalogue ? wetParts(spec) : []),
    ...spec.parts.own.map((own) => ownPart(own, spec)),
    ...lines.map((line) => linePart(line, spec)),
  ];
  const electrics = buildElectrics(spec, heat, parts);
  return {
    id: spec.id,
    network: shell.network,
    heat,
    parts,
    windReaching: windReaching(spec),
    ...(spec.tows === undefined ? {} : { tows: spec.tows }),
    ...(electrics === null ? {} : { electrics }),
    ...(spec.showerValves === false ? { showerOnLines: true as const } : {}),
    stated: [
      ...shell.stated,
      ...windStated(spec),
      ...heatStated(spec, heat),
      ...warmersStated(parts, spec),
      ...linesStated(lines, parts),
      ...electricsStated(electrics),
    ],
    assumptions: assumptionsOf(spec, parts),
  };
}

function assumptionsOf(spec: UnitSpec, parts: readonly Part[]): string[] {
  const has = (id: string): boolean => parts.some((part) => part.id === id && part.provenance !== 'config');
  const sentences = heatAssumptions(spec);
  if (has('heater-tank')) sentences.push(HEATER_TAKEN[spec.waterHeater ?? 'off']);
  if (has('tankless-heater')) sentences.push(tanklessTaken(spec));
  if (spec.lengthM === null) sentences.push('The length is not given: a usual one of its kind is taken.');
  return sentences;
}

const HEATER_TAKEN = {
  off: 'The water heater is taken to be off: its tank and fittings hang in the bay, which the furnace does not warm.',
  gas: 'The water heater is taken to be on, on gas: it keeps its tank and its own fittings warm while gas lasts.',
  shore:
    'The water heater is taken to be on, on shore power: it keeps its tank and its own fittings warm while power lasts.',
} as const;

/** What is not taken for granted once the post has tripped; the battery, where it is known to run the furnace, runs burners too. */
export function voidWithoutPost({ heat }: Pick<UnitModel, 'heat'>): readonly string[] {
  return [
    SHORE_LASTS,
    HEATER_TAKEN.shore,
    ...(heat?.battery === undefined ? [HEATER_TAKEN.gas, TANKLESS_WORKS] : []),
  ];
}

const TANKLESS_WORKS =
  'The tankless heater’s own protection is taken to work: it needs 12 V and gas, and in wind it gives nothing beyond what its maker states.';

function tanklessTaken({ tanklessProtected }: UnitSpec): string {
  return tanklessProtected === true
    ? TANKLESS_WORKS
    : 'The tankless heater is taken to be without protection of its own.';
}
