import { z } from 'zod';
import { LIES } from './config.ts';
import { PlaceWaterSchema } from './place-water.ts';
import { id, label, numberFrom, quantity, timeZone } from './field.ts';

const PlaceSchema = z.strictObject({
  id: id().describe('Name by which units refer to this place.'),
  label: label().optional().describe('What people call it; without it, the id.'),
  latitude: numberFrom(-90, 90).describe('Degrees north of the equator; south is negative.'),
  longitude: numberFrom(-180, 180).describe('Degrees east of Greenwich; all of America is negative.'),
  elevation: quantity('length', { from: '-430 m', to: '8849 m' })
    .optional()
    .describe("Height above sea level; without it, the weather service takes the ground's."),
  timeZone: timeZone().optional().describe('IANA time zone; without it, that of the coordinates.'),
  lie: z
    .enum(LIES)
    .default('unknown')
    .describe('Lie of the land: cold air gathers in a hollow and drains off a bench.'),
  coldSpot: quantity('temperatureDifference', { from: '-5 K', to: '15 K' })
    .prefault('0 K')
    .describe('How much colder your spot gets than the forecast says, as a difference.'),
  managers: z
    .array(id())
    .optional()
    .describe('Ids of people who look after the whole place: each hears of all its units in one message.'),
  water: PlaceWaterSchema.optional().describe(
    'Its water service: when the water is shut and the dump closed.',
  ),
  sources: z
    .array(id())
    .min(1, { error: 'must name at least one source, found an empty list' })
    .optional()
    .describe("This place's own order of weather sources; without it, all of them in order."),
});

export const PlacesSchema = z
  .array(PlaceSchema)
  .min(1, { error: 'must hold at least one place, found an empty list' })
  .describe('Campground pads and storage lots.');
