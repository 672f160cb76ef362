import { messageJsonSchemaText, stateJsonSchemaText } from '../delivery/machine-schema.ts';

/** The JSON Schema of what machines are told; null: there is none of that name. */
export function machineSchemaText(of: string): string | null {
  if (of === 'message') return messageJsonSchemaText();
  return of === 'state' ? stateJsonSchemaText() : null;
}
