/** Circuits in people's words. */

/** The hook-up parts, as `mark` and the config name their circuit. */
const CIRCUIT_WORDS: ReadonlyMap<string, string> = new Map([
  ['cold', 'the cold lines and the pump'],
  ['hot', 'the hot lines'],
  ['heater', 'the water heater'],
  ['inlet', 'the city inlet'],
  ['flush', 'the black-tank flush line'],
  ['outside-shower', 'the outside shower'],
  ['outside-kitchen', 'the outside kitchen'],
  ['washer', 'washing machine and dishwasher'],
  ['ice-maker', 'the ice maker'],
  ['tank-fresh', 'the fresh tank'],
  ['tank-grey', 'the grey tank'],
  ['tank-black', 'the black tank'],
  ['post', 'the hose'],
]);

const TRAP = 'trap-';
const TRAP_WORDS: ReadonlyMap<string, string> = new Map([['bath', 'bathroom']]);

export function isTrap(circuit: string): boolean {
  return circuit.startsWith(TRAP);
}

/** More than these are not read in a line. */
const NAMED = 3;

/** `the traps (kitchen, shower), the city inlet and the outside shower` */
export function circuitsWords(circuits: readonly string[]): string {
  return andList(phrases(circuits));
}

/** What of a unit is to be done, before "of Blue trailer"; null: too much to name in a line. */
export function onlyWords(circuits: readonly string[]): string | null {
  const named = phrases(circuits);
  if (circuits.every(isTrap)) return `the traps only (${traps(circuits)})`;
  return named.length > NAMED ? null : `only ${andList(named)}`;
}

/** `kitchen, bathroom, shower` */
export function traps(circuits: readonly string[]): string {
  return circuits
    .filter(isTrap)
    .map((circuit) => circuit.slice(TRAP.length))
    .map((name) => TRAP_WORDS.get(name) ?? name)
    .join(', ');
}

/** An own circuit keeps its name. */
export function circuitWords(circuit: string): string {
  return CIRCUIT_WORDS.get(circuit) ?? circuit;
}

export function andList(texts: readonly string[]): string {
  const last = texts.at(-1) ?? '';
  return texts.length < 2 ? last : `${texts.slice(0, -1).join(', ')} and ${last}`;
}

function phrases(circuits: readonly string[]): readonly string[] {
  const names = traps(circuits);
  const others = circuits.filter((circuit) => !isTrap(circuit)).map(circuitWords);
  return [...(names === '' ? [] : [`the traps (${names})`]), ...others];
}
