import type { Transaction } from 'kysely';
import { dropSuspicion } from './overtake.ts';
import type { Schema } from './schema.ts';
import type { MarkCommand, UnitRecord } from './store.ts';
import { readUnit, unseen, writeUnits } from './units.ts';

/**
 * Writes what a person says of a unit. The version always moves, so that a round which read the unit before
 * computes it again. Only `checked` clears the suspicion that it has frozen.
 */
export async function mark(trx: Transaction<Schema>, command: MarkCommand): Promise<void> {
  const current = await readUnit(trx, command.unit);
  const after = marked(current, command);
  // What changes neither the water nor the suspicion is no moment in the unit's own history.
  const event =
    after.water === (current?.water ?? null) && !command.checked
      ? null
      : ({ at: command.at, cause: 'mark', by: command.by } as const);
  await writeUnits(trx, [{ after, event }]);
  if (command.checked) await dropSuspicion(trx, command);
}

function marked(current: UnitRecord | null, command: MarkCommand): UnitRecord {
  const { damaged: _damaged, ...before } = current ?? unseen(command.unit);
  const water = typeof command.water === 'function' ? command.water(current) : command.water;
  return {
    ...before,
    version: before.version + 1,
    water: water ?? before.water,
    waterAt: water === null ? before.waterAt : command.at,
    checkedAt: command.checked ? command.at : before.checkedAt,
    memory: command.checked ? { ...before.memory, suspectSince: null } : before.memory,
  };
}
