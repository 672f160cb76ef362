import { z } from 'zod';
import { BATTERY_KINDS } from '../model/catalogue-battery.ts';
import { instant, numberFrom, quantity, wholeNumberFrom } from './field.ts';

const HeatPumpSchema = z
  .strictObject({
    power: quantity('power', { from: '100 W', to: '60 kW' }).describe('Heat it gives.'),
    limit: quantity('temperature', { from: '-30 °C', to: '15 °C' })
      .prefault('4 °C')
      .describe('Air outside below which it gives nothing.'),
  })
  .describe('A heat pump inside.');

export const HeatSchema = z.strictObject({
  set: quantity('temperature', { from: '0 °C', to: '30 °C' }).describe('What the thermostat is set to.'),
  furnace: quantity('power', { from: '100 W', to: '60 kW' })
    .optional()
    .describe('Heat the furnace gives at full power at sea level; left out where there is none.'),
  ductedShare: numberFrom(0, 1)
    .optional()
    .describe("Share of the furnace's heat that goes into the underbelly, from 0 to 1."),
  propane: quantity('mass', { above: '0 kg', to: '500 kg' }).optional().describe('Gas on board.'),
  cylinder: quantity('mass', { from: '1 kg', to: '500 kg' })
    .optional()
    .describe('Gas in one full cylinder; without it, what is usual for the kind.'),
  gauged: instant()
    .optional()
    .describe('When gas and charge were read; they are counted from then on. Without it, from now.'),
  refilled: z
    .boolean()
    .optional()
    .describe('Whether somebody changes empty cylinders in time; without it, when attended.'),
  electric: quantity('power', { from: '100 W', to: '20 kW' })
    .optional()
    .describe('Electric heaters inside, all together; they come before the furnace.'),
  heatPump: HeatPumpSchema.optional(),
  running: z.boolean().default(true).describe('Whether the heat is on as the unit stands.'),
});

const BatterySchema = z
  .strictObject({
    capacity: quantity('charge', { from: '1 Ah', to: '5000 Ah' }).describe('As printed on it.'),
    kind: z.enum(BATTERY_KINDS).default('lead').describe('What sort it is.'),
    charge: numberFrom(0, 1).default(1).describe('Share of its charge, from 0 to 1.'),
    age: quantity('age', { from: '0 y', to: '30 y' }).prefault('0 y').describe('How old it is.'),
  })
  .describe('What runs the blower and all else without shore power.');

export const PowerSchema = z
  .strictObject({
    supply: z.enum(['shore', 'battery']).default('shore').describe('Where its power comes from.'),
    breaker: quantity('current', { from: '1 A', to: '200 A' })
      .optional()
      .describe('What the breaker of the post is rated for.'),
    voltage: quantity('voltage', { from: '100 V', to: '250 V' })
      .prefault('120 V')
      .describe('Voltage of the post.'),
    legs: wholeNumberFrom(1, 2)
      .optional()
      .describe(
        'Hot legs of the post, each at that voltage and behind that breaker; without it, two at 50 A and 120 V.',
      ),
    battery: BatterySchema.optional(),
    other: quantity('power', { from: '0 W', to: '50 kW' })
      .optional()
      .describe('What else draws on the post, beyond the heaters named here.'),
  })
  .describe('Shore power and battery.');
