import { z } from 'zod';
import { DEFAULT_COSTS } from '../decision/costs.ts';
import { REPAIR_IDS } from '../decision/repairs.ts';
import { broken, numberFrom } from './field.ts';

const price = (usual: number) => numberFrom(0, 1_000_000).default(usual);

const currencyRule = broken('must be a currency of 1 to 8 letters or signs such as "USD" or "€"');

export const CostsSchema = z
  .strictObject({
    currency: z
      .string({ error: currencyRule })
      .regex(/^[\p{L}\p{Sc}.]{1,8}$/u, { error: currencyRule })
      .default(DEFAULT_COSTS.currency)
      .describe('How the currency of all prices is written.'),
    ownHour: price(DEFAULT_COSTS.ownHour).describe("An hour of the owner's own time."),
    serviceHour: price(DEFAULT_COSTS.serviceHour).describe('An hour of a crew that drains and winterizes.'),
    shopHour: price(DEFAULT_COSTS.shopHour).describe('An hour of whoever repairs.'),
    antifreezePerGallon: price(DEFAULT_COSTS.antifreezePerGallon).describe(
      'A gallon (3.8 L) of antifreeze for potable systems.',
    ),
    gasPerGallon: price(DEFAULT_COSTS.gasPerGallon).describe('A gallon (3.8 L) of propane.'),
    flood: price(DEFAULT_COSTS.flood).describe(
      'A floor flooded at the thaw, where the supply stands under pressure.',
    ),
    repairs: z
      .partialRecord(
        z.enum(REPAIR_IDS),
        numberFrom(0, 1_000_000).describe('What this repair costs, part and work.'),
      )
      .default({})
      .describe('Repairs that cost something else than usual, all in, by name.'),
  })
  .prefault({})
  .describe('What work, fluid, gas and repairs cost.');
