import { z } from 'zod';
import { TUBES } from '../model/tube.ts';
import { ZONES } from '../model/unit.ts';
import { broken, id, label, quantity, shareAboveZero } from './field.ts';

const OwnPartSchema = z.strictObject({
  id: id().describe('Name of the part; that of a part in the catalogue takes its place.'),
  label: label().optional().describe('Trade name for people; without it, the id.'),
  zone: z.enum(ZONES).describe('The air around the part.'),
  circuit: id().describe('Parts of a circuit are drained, blown out or filled together.'),
  water: quantity('mass', { above: '0 kg', to: '2000 kg' }).describe('Water in it when in use.'),
  conductance: quantity('conductance', { above: '0 W/K' }).describe(
    'Heat it loses to the air around it, calm, per kelvin of difference.',
  ),
  wallHeatCapacity: quantity('heatCapacity', { from: '0 J/K' })
    .prefault('0 J/K')
    .describe('Heat its own wall holds, per kelvin.'),
  startTemperature: quantity('temperature', { from: '0 °C', to: '90 °C' })
    .optional()
    .describe('Temperature at the start of the computation; without it, that of its zone.'),
  body: z.enum(['rigid', 'flexible']).default('rigid').describe('Whether its body gives way to ice.'),
  blocked: shareAboveZero().optional().describe('Share of ice at which it is blocked and may break.'),
  solid: shareAboveZero().optional().describe('Share of ice at which it counts as solid.'),
  pocket: z
    .literal([true, false, 'quick'], { error: broken('must be true, false or quick') })
    .default(false)
    .describe('Whether it keeps its water when its circuit is drained; quick: unless drained well.'),
});

const LineSchema = z.strictObject({
  id: id().describe('Name of the line; that of a part in the catalogue takes its place.'),
  label: label().optional().describe('Name for people; without it, the id.'),
  zone: z.enum(ZONES).describe('The air around it.'),
  circuit: id().describe('What it is drained, blown out and filled with.'),
  tube: z.enum(TUBES).describe('Its material and nominal size.'),
  length: quantity('length', { above: '0 m', to: '100 m' }).describe('How long it is.'),
  sleeve: quantity('length', { from: '0 mm', to: '100 mm' })
    .prefault('0 mm')
    .describe('How thick the foam around it is.'),
  tape: quantity('powerPerLength', { from: '0 W/m', to: '60 W/m' })
    .prefault('0 W/m')
    .describe('Heat tape along it, which needs shore power.'),
});

export const PartsSchema = z
  .strictObject({
    catalogue: z.boolean().default(true).describe('Whether the parts usual for the kind are there.'),
    add: z.array(id()).default([]).describe('Parts of the catalogue that the kind does not have by itself.'),
    without: z.array(id()).default([]).describe('Parts of the catalogue that this unit does not have.'),
    own: z.array(OwnPartSchema).prefault([]).describe('Parts described by yourself.'),
    lines: z.array(LineSchema).prefault([]).describe('Lines of your own, by tube and length.'),
  })
  .prefault({})
  .describe('The parts that hold water.');

const capacity = () => quantity('heatCapacity', { above: '0 J/K' }).optional();
const conductance = () => quantity('conductance', { from: '0 W/K' }).optional();

export const NetworkSchema = z
  .strictObject({
    insideCapacity: capacity().describe('Heat the cabin and its contents hold, per kelvin.'),
    underbellyCapacity: capacity().describe('Heat the space between floor and belly skin holds.'),
    underneathCapacity: capacity().describe('Heat the air and ground under the unit hold.'),
    insideOutside: quantity('conductance', { above: '0 W/K' })
      .optional()
      .describe('Walls, roof, windows and draughts: from inside to outside.'),
    insideUnderbelly: conductance().describe('The floor: from inside to the underbelly.'),
    underbellyUnderneath: conductance().describe('The belly skin: from the underbelly to underneath.'),
    underneathOutside: conductance().describe('Skirting or open air: from underneath to outside.'),
    underneathGround: conductance().describe('From underneath to the ground.'),
    barnCapacity: capacity().describe('Heat that the slab and the air of the barn hold.'),
    barnOutside: conductance().describe('Walls, roof and draughts of the barn.'),
    barnGround: conductance().describe('From the barn to the ground under its slab.'),
  })
  .describe("Your own numbers for the unit's heat paths, in place of the catalogue's.");
