/** Kinds of circuits, told by their names. */

/** Each trap is a circuit of its own; draining and air leave it as it was. */
export function isTrap(circuit: string): boolean {
  return circuit.startsWith('trap-');
}

/** A tank with its outlet and valve; air does not empty it, its drain does. */
export function isTank(circuit: string): boolean {
  return circuit.startsWith('tank-');
}
