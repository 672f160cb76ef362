import { z } from 'zod';
import { clock, localDate, quantity } from './field.ts';

const below = () => quantity('temperature', { from: '-40 °C', to: '10 °C' }).optional();

/** When a place shuts its water and closes its dump. */
export const PlaceWaterSchema = z.strictObject({
  shutsOn: localDate().optional().describe('Date on which the water is shut, in the zone of the place.'),
  shutsBelow: below().describe('Air temperature at or below which the water is shut.'),
  opensOn: localDate()
    .optional()
    .describe('Date on which water and dump are open again; without it, not until this file says otherwise.'),
  dumpClosesOn: localDate().optional().describe('Date on which the dump is closed.'),
  dumpClosesBelow: below().describe('Air temperature at or below which the dump is closed.'),
  at: clock()
    .optional()
    .describe('Hour of the day for these dates, in the zone of the place; without it, the start of the day.'),
});
