import { z } from 'zod';
import { FLUIDS, STRONGEST_PERCENT, WEAKEST_PERCENT } from '../model/antifreeze.ts';
import { HANDS } from '../model/catalogue-work.ts';
import { BELLIES, KINDS, SKIRTINGS } from '../model/unit.ts';
import { id, instant, label, noneOr, numberFrom, quantity, wholeNumberFrom } from './field.ts';
import { HeatSchema, PowerSchema } from './heat.ts';
import { NetworkSchema, PartsSchema } from './parts.ts';
import { caution, orFromCosts } from './policy.ts';
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

const minutes = () => quantity('duration', { from: '0 s', to: '7 d' });

const WorkSchema = z
  .strictObject({
    by: z.enum(HANDS).default('owner').describe('Whose hands do it, by whose minutes and at whose price.'),
    keepWarm: minutes().optional().describe('Time to take the hose in and set the heat.'),
    drain: minutes().optional().describe('Time to drain.'),
    winterize: minutes().optional().describe('Time to winterize.'),
    travel: minutes().prefault('0 min').describe('Time to get there.'),
    fill: minutes().prefault('15 min').describe('Time to fill the fresh tank at the place.'),
    dump: minutes()
      .prefault('20 min')
      .describe('Time to dump the tanks: 20 min on the pad; about 75 min where it is towed to the dump.'),
  })
  .prefault({})
  .describe('How long the work takes you; what is left out comes from the parts and the cold.');

const KitSchema = z
  .strictObject({
    bypass: z.boolean().optional().describe('Whether the water heater has a bypass.'),
    pumpKit: z
      .boolean()
      .optional()
      .describe('Whether its pump can draw from a jug: a suction hose or a valve for it.'),
    compressor: z.boolean().optional().describe('Whether there is a compressor fit to blow it out.'),
  })
  .prefault({})
  .describe('What is at hand for winterizing; left out is not known.');

const accepted = () => numberFrom(0, 1).optional();

const UnitPolicySchema = z
  .strictObject({
    tolerance: orFromCosts(
      z.strictObject({
        nothing: accepted().describe('When nothing is done.'),
        'keep-warm': accepted().describe('When kept warm.'),
        'drain-part': accepted().describe('When only what lies outside is drained.'),
        drain: accepted().describe('When drained.'),
        winterize: accepted().describe('When winterized.'),
      }),
    )
      .optional()
      .describe('Accepted chance of damage; what is left out is that of the policy.'),
    caution: caution().optional().describe('How many times as much as itself a loss counts.'),
  })
  .prefault({})
  .describe('What holds for this unit in place of the policy.');

const WaterUseSchema = z
  .strictObject({
    perDay: quantity('volume', { above: '0 L', to: '2000 L' }).describe(
      'What whoever lives in it uses a day; 40 L (10 gal) for two who are careful.',
    ),
    onBoard: quantity('volume', { from: '0 L', to: '2000 L' })
      .optional()
      .describe('Water in the fresh tank now; without it, by `tanks.fresh` and `tank`, else unknown.'),
    tank: quantity('volume', { above: '0 L', to: '2000 L' })
      .optional()
      .describe(
        'What the fresh tank holds when full; without it, what is usual where `tanks.fresh` is given.',
      ),
  })
  .describe('How much water is used, so that a day without service can be planned for.');

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
  kit: KitSchema,
  policy: UnitPolicySchema,
  waterUse: WaterUseSchema.optional(),
  network: NetworkSchema.optional(),
  parts: PartsSchema,
});

export const UnitsSchema = z
  .array(UnitSchema)
  .min(1, { error: 'must hold at least one unit, found an empty list' })
  .describe('Parked trailers and motorhomes.');
