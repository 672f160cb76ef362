import { DEFAULT_POLICY } from '../decision/policy.ts';
import { ModelError } from '../errors.ts';
import { catalogueParts } from '../model/catalogue-parts.ts';
import type { Part } from '../model/unit.ts';
import { whyNot } from '../model/water-state.ts';
import { deriveUnit } from './derive-unit.ts';
import type { Draft } from './draft.ts';
import { has, mapAt, mapsAt, numberAt, problemAt, textAt } from './draft.ts';
import { didYouMean, shown } from './found.ts';
import type { Problem } from './problem.ts';
import { protectionRules } from './protection-rules.ts';
import { UnitSchema } from './units.ts';

export function unitRules(root: Draft): readonly Problem[] {
  return mapsAt(root, 'units').flatMap((unit) => [
    ...waterRules(unit),
    ...mapsAt(mapAt(unit, 'parts'), 'own').flatMap(iceRules),
    ...partRules(unit),
    ...protectionRules(unit),
    ...networkRules(unit),
  ]);
}

/** Which state each further word about the water belongs to. */
const BELONGS_TO = [
  { key: 'method', state: 'winterized' },
  { key: 'quality', state: 'drained' },
  { key: 'concentration', state: 'winterized' },
  { key: 'fluid', state: 'winterized' },
  { key: 'traps', state: 'winterized' },
] as const;
const OF_ANTIFREEZE = ['concentration', 'fluid'] as const;

function waterRules(unit: Draft): readonly Problem[] {
  const water = mapAt(unit, 'water');
  const circuits = mapAt(water, 'circuits');
  const names = Object.keys(circuits.fields);
  const named = names.map((name) => mapAt(circuits, name));
  const there = modelParts(unit);
  return [
    ...[water, ...named].flatMap(stateRules),
    ...names.flatMap((name) => {
      const moves = moveRules(unit, name, there ?? []);
      return moves.length > 0 ? moves : strangerRules(unit, name, there);
    }),
  ];
}

/** A circuit that this unit has not; where the rest of it cannot be read, one that no unit has. */
function strangerRules(unit: Draft, name: string, there: readonly Part[] | null): readonly Problem[] {
  const { path } = mapAt(mapAt(unit, 'water'), 'circuits');
  const known = circuitsOf(unit);
  const problem = (text: string): Problem => ({ path: [...path, name], at: 'key', text });
  if (!known.includes(name)) return [problem(noCircuit(name, known))];
  if (there === null || there.some((part) => part.circuit === name)) return [];
  const own = [...new Set(there.map((part) => part.circuit))].join(', ');
  return [
    problem(
      `this unit has no part in that circuit (parts.add, hose), found ${shown(name)}; its circuits are: ${own}`,
    ),
  ];
}

/** What a circuit cannot be, whoever says so. */
function moveRules(unit: Draft, circuit: string, there: readonly Part[]): readonly Problem[] {
  const said = mapAt(mapAt(mapAt(unit, 'water'), 'circuits'), circuit);
  if (textAt(said, 'state') !== 'winterized') return [];
  const kind = textAt(said, 'method') === 'air' ? 'blown' : 'antifreeze';
  const parts = there.filter((part) => part.circuit === circuit).map((part) => part.id);
  const why = whyNot(kind, { circuit, parts });
  return why === null ? [] : [problemAt(said, 'method', `cannot be: ${why}`)];
}

/** Null where the unit cannot be built from what is written. */
function modelParts(unit: Draft): readonly Part[] | null {
  const parsed = has(mapAt(unit, 'water'), 'circuits') ? UnitSchema.safeParse(unit.fields) : null;
  if (!parsed?.success) return null;
  try {
    return deriveUnit(parsed.data, ANYWHERE).model.parts;
  } catch (error) {
    if (error instanceof ModelError) return null;
    throw error;
  }
}

function circuitsOf(unit: Draft): readonly string[] {
  const parts = mapAt(unit, 'parts');
  const own = [...mapsAt(parts, 'own'), ...mapsAt(parts, 'lines')].map(
    (part) => textAt(part, 'circuit') ?? '',
  );
  return [...new Set([...catalogueParts().map((part) => part.circuit), ...own])];
}

function noCircuit(name: string, known: readonly string[]): string {
  const hint = didYouMean(name, known) || `; known here: ${known.join(', ')}`;
  return `there is no circuit of that name, found ${shown(name)}${hint}`;
}

function stateRules(water: Draft): readonly Problem[] {
  const state = textAt(water, 'state');
  if (state === null) return [];
  const misplaced = BELONGS_TO.filter(({ key, state: owner }) => has(water, key) && state !== owner).map(
    ({ key, state: owner }) =>
      problemAt(water, key, `belongs to state ${owner}, found it with ${shown(state)}`),
  );
  if (state !== 'winterized' || misplaced.length > 0) return misplaced;
  if (!has(water, 'method')) {
    return [problemAt(water, 'method', 'is missing; say whether it was winterized with antifreeze or air')];
  }
  if (textAt(water, 'method') !== 'air') {
    return has(water, 'traps')
      ? [problemAt(water, 'traps', 'belongs to method air, found it with "antifreeze"')]
      : [];
  }
  return OF_ANTIFREEZE.filter((key) => has(water, key)).map((key) =>
    problemAt(water, key, 'belongs to method antifreeze, found it with "air"'),
  );
}

function iceRules(part: Draft): readonly Problem[] {
  const blocked = numberAt(part, 'blocked');
  const solid = numberAt(part, 'solid');
  if (blocked === null || solid === null || blocked <= solid) return [];
  return [problemAt(part, 'blocked', `must not be above solid (${solid}), found ${blocked}`)];
}

const NO_PARTS = 'must leave at least one part that holds water; found catalogue: false and no own part';
/** Of the place, and of parts: neither matters to a network. */
const ANYWHERE = { elevationM: null, policy: DEFAULT_POLICY };

function partRules(unit: Draft): readonly Problem[] {
  const parts = mapAt(unit, 'parts');
  if (parts.fields['catalogue'] !== false) return [];
  const idle = ['add', 'without'].filter((key) => [parts.fields[key] ?? []].flat().length > 0);
  if (idle.length > 0) {
    return idle.map((key) => problemAt(parts, key, 'has no effect beside catalogue: false, found both'));
  }
  return [...mapsAt(parts, 'own'), ...mapsAt(parts, 'lines')].length > 0
    ? []
    : [problemAt(unit, 'parts', NO_PARTS)];
}

/** The user's own numbers for the heat paths, tried on the model. */
function networkRules(unit: Draft): readonly Problem[] {
  const parsed = has(unit, 'network') ? UnitSchema.safeParse(unit.fields) : null;
  if (!parsed?.success) return [];
  try {
    deriveUnit(parsed.data, ANYWHERE);
    return [];
  } catch (error) {
    if (error instanceof ModelError) return [problemAt(unit, 'network', error.message)];
    throw error;
  }
}
