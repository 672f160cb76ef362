/** From a message, or the state of a unit, to what machines read. */
import type { OutgoingMessage } from '../message/message.ts';
import type { UnitFigures, UnitState } from '../message/unit-state.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { MachineMessage, MachineState } from './machine-schema.ts';

/** @throws Error for a state, which is no message to anybody */
export function machineMessage(message: OutgoingMessage): MachineMessage {
  const { kind, figures, to } = message;
  if (kind === 'state' || kind === 'list')
    throw new Error('Neither the state of a unit nor a list of messages is one');
  return {
    schema: 'drainby.message/1',
    id: message.messageId,
    kind,
    unit: message.unit,
    place: message.place ?? null,
    action: message.action,
    partial: message.partial ?? false,
    method: figures?.method ?? null,
    startBy: iso(message.startBy),
    late: figures?.late ?? null,
    asOf: isoSecond(message.createdAt),
    validUntil: iso(message.useBefore ?? null),
    cause: message.cause,
    episode: message.episode ?? null,
    chanceOfDamage: figures?.chanceOfDamage ?? null,
    throughCold: throughCold(figures),
    lowestC: rounded(figures?.lowestC ?? null),
    lowestAt: iso(figures?.lowestAt ?? null),
    suspect: figures?.suspect ?? null,
    // What the version that wrote it did not say is not wished for.
    heat: figures?.heat ?? 'unchanged',
    to: { id: to.id, name: to.name },
    subject: message.subject,
    short: message.short ?? null,
    text: message.text,
  };
}

/** @param installation which drainby says so */
export function machineState({ figures, advice, ...state }: UnitState, installation: string): MachineState {
  return {
    schema: 'drainby.state/1',
    installation,
    unit: state.unit,
    label: state.label,
    place: state.place,
    asOf: isoSecond(state.asOf),
    validUntil: isoSecond(state.validUntil),
    waterState: state.waterState,
    advice:
      advice === null
        ? null
        : {
            action: advice.action,
            partial: advice.partial ?? false,
            method: figures.method,
            startBy: iso(advice.startBy),
            late: figures.late ?? false,
            reasonCode: advice.reasonCode,
          },
    chanceOfDamage: figures.chanceOfDamage,
    throughCold: throughCold(figures),
    lowestC: rounded(figures.lowestC),
    lowestAt: iso(figures.lowestAt),
    suspect: figures.suspect,
    heat: figures.heat,
    problem: state.problem,
  };
}

function throughCold(figures: UnitFigures | undefined): MachineMessage['throughCold'] {
  const through = figures?.throughCold ?? null;
  return through === null ? null : { ...through, until: isoSecond(through.until) };
}

function iso(at: EpochSeconds | null): string | null {
  return at === null ? null : isoSecond(at);
}

/** Two decimals: nobody measures the air finer. */
function rounded(value: number | null): number | null {
  return value === null ? null : Math.round(value * 100) / 100 + 0;
}
