/**
 * A regime of the heated network: what the furnace does while it lasts, and therefore which linear system the
 * zones obey. `off`, `band` and `full` are the thermostat's; `capped` is added when the underbelly stands at
 * its cap and takes only what holds it there.
 */
import { combineCourses, linearCourse, type Course } from './course.ts';
import type { Heat, Network, NodeId, ThermalPath } from './unit.ts';

export type Firing = 'off' | 'band' | 'full';

export interface Regime {
  readonly firing: Firing;
  readonly capped: boolean;
}

/** The thermostat acts in proportion over this band, centred on the set temperature. */
export const BAND_K = 1;
/** The duct below closes when the underbelly reaches this. */
export const UNDERBELLY_CAP_C = 25;

export const UNHEATED: Regime = { firing: 'off', capped: false };

/** Air and ground at the network's edges over one stretch. */
export interface Edges {
  readonly outside: Course;
  readonly ground: Course;
}

export function pathConductance(path: ThermalPath, windSpeedMps: number): number {
  return path.calmWPerK + path.windWPerKPerMps * windSpeedMps;
}

export type NodeCourses = ReadonlyMap<NodeId, Course>;

/** Output of the furnace over a stretch [W]. */
export function furnaceCourse(heat: Heat, regime: Regime, nodes: NodeCourses): Course {
  if (regime.firing === 'off') return linearCourse(0, 0);
  if (regime.firing === 'full') return linearCourse(heat.capacityW, 0);
  const perKelvin = heat.capacityW / BAND_K;
  return combineCourses(
    [{ weight: -perKelvin, course: nodeCourse(nodes, 'inside') }],
    perKelvin * (heat.setC + BAND_K / 2),
  );
}

export interface Surroundings {
  readonly network: Network;
  readonly heat: Heat;
  readonly edges: Edges;
  readonly windSpeedMps: number;
}

/**
 * Quantities that stay at or above zero while the regime lasts, each with the regime that follows when it
 * passes below.
 */
export function exitsOf(
  { network, heat, edges, windSpeedMps }: Surroundings,
  regime: Regime,
  nodes: NodeCourses,
): { readonly course: Course; readonly next: Regime }[] {
  const inside = nodeCourse(nodes, 'inside');
  const above = combineCourses([{ weight: 1, course: inside }], -(heat.setC + BAND_K / 2));
  const below = combineCourses([{ weight: -1, course: inside }], heat.setC - BAND_K / 2);
  const to = (firing: Firing): Regime => ({ firing, capped: regime.capped && firing !== 'off' });
  const exits = [];
  if (regime.firing === 'off') exits.push({ course: above, next: to('band') });
  if (regime.firing === 'full') exits.push({ course: below, next: to('band') });
  if (regime.firing === 'band') {
    exits.push({ course: negated(above), next: to('off') }, { course: negated(below), next: to('full') });
  }
  const underbelly = nodes.get('underbelly');
  if (underbelly === undefined || heat.ductedShare === 0 || regime.firing === 'off') return exits;
  const course = regime.capped
    ? combineCourses([
        { weight: heat.ductedShare, course: furnaceCourse(heat, regime, nodes) },
        { weight: -1, course: underbellyLoss({ network, edges, windSpeedMps, nodes }) },
      ])
    : combineCourses([{ weight: -1, course: underbelly }], UNDERBELLY_CAP_C);
  exits.push({ course, next: { ...regime, capped: !regime.capped } });
  return exits;
}

/** Heat that leaves the underbelly along its paths [W]. */
function underbellyLoss(of: {
  readonly network: Network;
  readonly edges: Edges;
  readonly windSpeedMps: number;
  readonly nodes: NodeCourses;
}): Course {
  const end = (id: string): Course =>
    id === 'outside' || id === 'ground' ? of.edges[id] : nodeCourse(of.nodes, id as NodeId);
  const terms = of.network.paths
    .filter((path) => path.between.includes('underbelly'))
    .flatMap((path) => {
      const other = path.between[0] === 'underbelly' ? path.between[1] : path.between[0];
      const weight = pathConductance(path, of.windSpeedMps);
      return [
        { weight, course: end('underbelly') },
        { weight: -weight, course: end(other) },
      ];
    });
  return combineCourses(terms);
}

export function nodeCourse(nodes: NodeCourses, id: NodeId): Course {
  const course = nodes.get(id);
  if (course === undefined) throw new Error(`The network has no node ${id}; this is a bug.`);
  return course;
}

function negated(course: Course): Course {
  return combineCourses([{ weight: -1, course }]);
}
