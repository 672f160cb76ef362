/** What machines are told, as schemas: of the webhook `drainby.message/1`, of the broker `drainby.state/1`. */
import { z } from 'zod';
import { OUTSIDE_ACTIONS } from '../decision/advice.ts';
import { MESSAGE_KINDS } from '../decision/memory.ts';
import { HEAT_WISHES } from '../message/unit-state.ts';

const instant = () => z.iso.datetime();
const action = () => z.enum(OUTSIDE_ACTIONS);
const partial = () => z.boolean().describe('Only what lies outside is drained; what is inside stays in use.');
const share = () => z.number().min(0).max(1);

const heat = () =>
  z
    .enum(HEAT_WISHES)
    .describe(
      'furnace-on: the vented, thermostatted furnace of this unit is wanted on until validUntil. Nothing else may be switched on for it, and nothing off.',
    );

const chanceOfDamage = () =>
  z
    .partialRecord(action(), share())
    .nullable()
    .describe('Chance of damage within the decision window, by action; null: unknown.');

const common = {
  asOf: instant().describe('When it was computed.'),
  unit: z.string().describe('Id of the unit.'),
  place: z.string().nullable().describe('Id of the place; null: unknown.'),
  validUntil: instant().describe('From then on it says nothing any more, and nothing may act on it.'),
  chanceOfDamage: chanceOfDamage(),
  throughCold: z
    .strictObject({
      until: instant().describe('When this cold is over, by the middle course.'),
      chanceOfDamage: z.partialRecord(action(), share()),
    })
    .nullable()
    .describe(
      'What lesser work would leave to the end of this cold, although it would do within the decision window; null: that is not why.',
    ),
  lowestC: z.number().nullable().describe('Lowest outside temperature ahead, °C; null: unknown.'),
  lowestAt: instant().nullable().describe('When that is.'),
  suspect: z
    .boolean()
    .nullable()
    .describe('It may already have frozen, until a person has checked; null: unknown.'),
  heat: heat(),
};

export const MachineMessageSchema = z
  .strictObject({
    schema: z.literal('drainby.message/1'),
    id: z.string().describe('The same at every attempt: what was taken once is to be ignored.'),
    kind: z.enum([...MESSAGE_KINDS, 'test', 'watching']).describe('What it is about.'),
    action: action().describe('What is to be done.'),
    partial: partial(),
    method: z
      .enum(['antifreeze', 'air'])
      .nullable()
      .describe('How to winterize; null: another action, or any.'),
    startBy: instant().nullable().describe('Latest start of the work; null: there is none to start.'),
    late: z.boolean().nullable().describe('The start-by time has passed; null: unknown.'),
    cause: z.string().describe('Why: the code of the reason, or the kind of trouble.'),
    episode: z
      .string()
      .nullable()
      .describe('What belongs together, from the first warning to the all-clear.'),
    to: z.strictObject({ id: z.string(), name: z.string() }).describe('Whom it is for.'),
    subject: z.string(),
    short: z.string().nullable().describe('In at most 160 characters.'),
    text: z.string().describe('In full, for a person to read.'),
    ...common,
    validUntil: common.validUntil.nullable(),
  })
  .describe('One message about one unit to one person.');

export const MachineStateSchema = z
  .strictObject({
    schema: z.literal('drainby.state/1'),
    installation: z.string().describe('Which drainby says so, of several that share a broker.'),
    label: z.string().describe('What people call the unit.'),
    waterState: z
      .string()
      .describe('wet, drained, blown, antifreeze, unknown (taken as wet); there may be more.'),
    advice: z
      .strictObject({
        action: action(),
        partial: partial(),
        method: z.enum(['antifreeze', 'air']).nullable(),
        startBy: instant().nullable(),
        late: z.boolean(),
        reasonCode: z.string(),
      })
      .nullable()
      .describe('Null: unknown, which is never "nothing"; `problem` says why.'),
    problem: z
      .strictObject({ code: z.string(), message: z.string() })
      .nullable()
      .describe('Why nothing is known.'),
    ...common,
  })
  .describe('How one unit stands, retained at TOPIC/PLACE/UNIT/state.');

export type MachineMessage = z.infer<typeof MachineMessageSchema>;
export type MachineState = z.infer<typeof MachineStateSchema>;

/** Texts of the JSON Schema files in `config/`. */
export function messageJsonSchemaText(): string {
  return jsonText(MachineMessageSchema, 'drainby.message/1');
}

export function stateJsonSchemaText(): string {
  return jsonText(MachineStateSchema, 'drainby.state/1');
}

/** Fields may be added to either, so a receiver must not stumble over one that it does not know. */
function jsonText(schema: z.ZodType, title: string): string {
  const open = z.toJSONSchema(schema, {
    override: ({ jsonSchema }) => {
      if (jsonSchema.additionalProperties === false) delete jsonSchema.additionalProperties;
    },
  });
  return `${JSON.stringify({ ...open, title }, null, 2)}\n`;
}
