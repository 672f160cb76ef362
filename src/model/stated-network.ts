/** The numbers of a network as they are taken: the user's own or the catalogue's, and a record of which. */
import type { Frame } from './catalogue-frame.ts';
import type {
  NetworkSpec,
  NodeId,
  Provenance,
  StatedDefault,
  ThermalNode,
  ThermalPath,
  UnitSpec,
} from './unit.ts';

export interface CapacitySpec {
  readonly node: NodeId;
  /** Per length of the unit [J/(K·m)]. */
  readonly perLength: number;
  readonly provenance: Provenance;
  readonly note: string;
}

export interface PathSpec {
  readonly name: string;
  readonly between: ThermalPath['between'];
  /** The key of the user's own number, which then holds at any wind. */
  readonly key: keyof NetworkSpec;
  readonly calm: number;
  readonly perWind: number;
  readonly provenance: Provenance;
  /** How it was derived, with its plausible range. */
  readonly note: string;
}

type Derived = Pick<PathSpec, 'key' | 'provenance' | 'note'> & {
  readonly value: number;
  readonly unit: string;
};

export class StatedNetwork {
  readonly entries: StatedDefault[] = [];
  readonly #spec: UnitSpec;

  constructor(spec: UnitSpec) {
    this.#spec = spec;
  }

  node({ node, perLength, provenance, note }: CapacitySpec, { lengthM }: Frame): ThermalNode {
    const key = `${node}Capacity` as const;
    return {
      id: node,
      capacityJPerK: this.#take({ key, value: perLength * lengthM, unit: 'J/K', provenance, note }),
    };
  }

  path({ name, between, key, calm, perWind, provenance, note }: PathSpec): ThermalPath {
    const calmWPerK = this.#take({ key, value: calm, unit: 'W/K', provenance, note });
    return { name, between, calmWPerK, windWPerKPerMps: this.#own(key) === null ? perWind : 0 };
  }

  #own(key: keyof NetworkSpec): number | null {
    return this.#spec.network?.[key] ?? null;
  }

  #take({ key, value: derived, unit, provenance, note }: Derived): number {
    const given = this.#own(key);
    const value = given ?? derived;
    this.entries.push({
      path: `network.${key}`,
      value: `${Number(value.toPrecision(4))} ${unit}`,
      ...(given === null ? { provenance, note } : { provenance: 'config', note: 'given' }),
    });
    return value;
  }
}
