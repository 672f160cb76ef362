import { z } from 'zod';
import { FLUIDS, STRONGEST_PERCENT, WEAKEST_PERCENT } from '../model/antifreeze.ts';
import { BELLIES, KINDS, SKIRTINGS } from '../model/unit.ts';
import { id, instant, label, noneOr, numberFrom, quantity, wholeNumberFrom } from './field.ts';
import { HeatSchema, PowerSchema } from './heat.ts';
import { NetworkSchema, PartsSchema } from './parts.ts';
import { protectionFields } from './protection.ts';

/** What is in a circuit, as people say it. */
const circuitFields = {
  state: z
    .enum(['in-use', 'drained', 'winterized', 'unknown'])
    .describe('What is in the lines; unknown is taken as water.'),
  since: instant().optional().describe('Since when; the newer of this and `drainby mark` holds.'),
  method: z.enum(['antifreeze', 'air']).optional().describe('How it was winterized.'),
  quality: z.enum(['well', 'quick']).optional().describe('How well it was drained; without it, quick.'),
  concentration: numberFrom(WEAKEST_PERCENT, STRONGEST_PERCENT)
    .optional()
    .describe(
      'Antifreeze in the fluid, per cent by volume as measured; without it, ready-to-use fluid and what a good drain leaves.',
    ),
  fluid: z
    .enum(FLUIDS)
    .optional()
    .describe('What the antifreeze is made of: propylene glycol or ethanol; without it, glycol.'),
};

const WaterSchema = z.strictObject({
  ...circuitFields,
  traps: z
    .boolean()
    .optional()
    .describe('With method air: whether antifreeze was poured into traps, toilets and pump, too.'),
  circuits: z
    .record(id(), z.strictObject(circuitFields).describe('The state of this circuit.'))
    .default({})
    .describe('Circuits that differ from the rest, by name.'),
});

const minutesOf = (usual: string) => quantity('duration', { from: '0 s', to: '7 d' }).prefault(usual);

const WorkSchema = z
  .strictObject({
    keepWarm: minutesOf('20 min').describe('Time to take the hose in and set the heat.'),
    drain: minutesOf('45 min').describe('Time to drain.'),
    winterize: minutesOf('90 min').describe('Time to winterize.'),
    travel: minutesOf('0 min').describe('Time to get there.'),
  })
  .prefault({})
  .describe('How long the work takes you.');

export const UnitSchema = z.strictObject({
  id: id().describe('Name of the unit on the command line and in mail headers.'),
  label: label().optional().describe('What people call it; without it, the id.'),
  place: id().describe('Where it stands: the id of a place.'),
  kind: z.enum(KINDS).describe('What sort of unit it is.'),
  length: quantity('length', { from: '2 m', to: '20 m' })
    .optional()
    .describe('Length of its body; without it, what is usual for the kind.'),
  slides: wholeNumberFrom(0, 5).default(0).describe('How many slide-outs it has.'),
  belly: z
    .enum(BELLIES)
    .default('open')
    .describe('Whether a skin closes the space under the floor, and heat gets into it.'),
  skirting: z.enum(SKIRTINGS).default('none').describe('What closes the gap to the ground.'),
  attended: z.boolean().default(false).describe('Whether somebody lives in it now.'),
  hose: z
    .enum(['connected', 'heated', 'none'])
    .optional()
    .describe('The hose at the post; without it, connected when attended, else none.'),
  ...protectionFields,
  heat: noneOr(HeatSchema).default('none').describe('The heat, or none.'),
  power: PowerSchema.optional(),
  water: WaterSchema.prefault({ state: 'unknown' }).describe('What is in its lines and tanks.'),
  contacts: z
    .array(id())
    .min(1, { error: 'must name at least one person, or nobody hears of this unit; found an empty list' })
    .describe('Who is told: ids of people.'),
  work: WorkSchema,
  network: NetworkSchema.optional(),
  parts: PartsSchema,
});

export const UnitsSchema = z
  .array(UnitSchema)
  .min(1, { error: 'must hold at least one unit, found an empty list' })
  .describe('Parked trailers and motorhomes.');
