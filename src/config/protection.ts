/** What stands between a unit's water and the weather, beside its belly and skirting. */
import { z } from 'zod';
import { BELLY_SKINS, SHELTERS } from '../model/unit.ts';
import { instant, numberFrom, quantity } from './field.ts';

const fill = () => numberFrom(0, 1).optional();

const TanksSchema = z
  .strictObject({
    fresh: fill().describe('The fresh tank, from 0 (empty) to 1.'),
    grey: fill().describe('The grey tank, from 0 (empty) to 1.'),
    black: fill().describe('The black tank, from 0 (empty) to 1.'),
  })
  .describe('How full the tanks are; one that is left out is taken as full.');

const TowSchema = z.strictObject({
  from: instant().describe('When it leaves.'),
  until: instant().describe('When it stands again.'),
  speed: quantity('speed', { from: '1 km/h', to: '150 km/h' }).describe('How fast, on average.'),
});

/** Fields of a unit. */
export const protectionFields = {
  bellySkin: z
    .enum(BELLY_SKINS)
    .optional()
    .describe('What closes the belly: a bare sheet (without it), one with foil insulation, or a torn one.'),
  shelter: z
    .enum(SHELTERS)
    .default('open')
    .describe('What keeps the wind off: nothing, trees or buildings, a roofed row, an enclosed barn.'),
  cupboards: z
    .enum(['shut', 'open'])
    .default('shut')
    .describe('How the doors of cupboards on outside walls stand at night.'),
  waterHeater: z
    .enum(['on', 'off', 'gas', 'shore'])
    .optional()
    .describe(
      'Whether and on what the water heater runs; without it, on when attended and heated, else off.',
    ),
  tanklessProtection: z
    .boolean()
    .default(false)
    .describe('Whether the own protection of a tankless water heater is switched on.'),
  outsideShowerValves: z
    .boolean()
    .optional()
    .describe('Whether the outside shower has shut-off valves of its own; without it, nobody has said.'),
  tankPads: quantity('power', { from: '1 W', to: '1000 W' })
    .optional()
    .describe('Heating pad under each tank; without it, none.'),
  tanks: TanksSchema.optional(),
  towing: z
    .array(TowSchema)
    .prefault([])
    .describe('When it is on the road: its speed is its wind, and the furnace is off.'),
} as const;
