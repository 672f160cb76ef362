/** The same member by a general solver, odex (Hairer's extrapolation code), no more accurate than it need be. */
import { createRequire } from 'node:module';
import { windOfClass } from '../../dist/model/film.js';
import { pathConductance } from '../../dist/model/linear-system.js';
import { conductanceAt } from '../../dist/model/part-levels.js';
import { runPart, zoneAtHours } from '../../dist/model/trace.js';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../../dist/model/water.js';
import { cpuMs } from './scenarios.mjs';

const { Solver } = createRequire(import.meta.url)('odex');
const HOUR_S = 3600;
/** What both must agree to at every hour: kelvins, and shares of ice. */
const WANTED = 1e-6;

/**
 * CPU time of the first `hours` of one member without heat, every part of its unit included: ours, and odex's at the
 * loosest tolerance with which it comes within 1e-6 of ours.
 */
export function againstOdex({ unit, trace, plan }, wholeAir, hours) {
  const air = { ...wholeAir, hours };
  const ours = [];
  let runs = [];
  for (let i = 0; i < 200; i++) {
    const before = cpuMs();
    trace.solve(air, plan);
    runs = unit.parts.map((part) => runPart(trace, { part, wetSince: null }));
    ours.push(cpuMs() - before);
  }
  const system = new Equations(unit, trace, air);
  for (let digits = 5; digits <= 12; digits++) {
    const tolerance = Number(`1e-${digits}`);
    const before = cpuMs();
    const states = system.integrate(runs, tolerance);
    const spent = cpuMs() - before;
    const error = farthest(states, runs);
    if (error <= WANTED) return { oursMs: Math.min(...ours), odexMs: spent, tolerance, error };
  }
  throw new Error('odex does not come within 1e-6 of the kernel: one of them is wrong.');
}

/** Nodes, zones with a lag and every part's enthalpy over its water's heat capacity [K], side by side. */
class Equations {
  constructor(unit, trace, air) {
    this.unit = unit;
    this.trace = trace;
    this.air = air;
    this.nodes = unit.network.nodes.map((node) => node.id);
    this.lagged = [...new Set(unit.parts.map((p) => p.zone))].filter(
      (zone) => unit.network.zones[zone].lagS > 0,
    );
    this.bodies = unit.parts.map((part) => {
      const liquid = part.waterKg * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
      const solid = part.waterKg * ICE_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
      return { part, liquid, solid, latentK: (part.waterKg * LATENT_HEAT_J_PER_KG) / liquid };
    });
  }

  /** By hour, by part: temperature and cold taken. */
  integrate(runs, tolerance) {
    const { trace, air, nodes, lagged, bodies } = this;
    let state = [...nodes, ...lagged].map((zone) => zoneAtHours(trace, zone)[0]);
    state.push(...runs.map((run) => run.temperatureC[0]));
    return Array.from({ length: air.hours }, (_, hour) => {
      const solver = new Solver(state.length);
      solver.absoluteTolerance = tolerance;
      solver.relativeTolerance = tolerance;
      solver.maxSteps = 1_000_000;
      state = solver.solve(this.ratesIn(hour), 0, state, HOUR_S).y;
      const first = nodes.length + lagged.length;
      return bodies.map((body, i) => pointOf(body, state[first + i]));
    });
  }

  ratesIn(hour) {
    const { unit, air, nodes, lagged, bodies } = this;
    const { network } = unit;
    const wind = air.windClass[hour];
    const paths = network.paths.map((path) => ({
      from: nodes.indexOf(path.between[0]),
      to: nodes.indexOf(path.between[1]),
      ground: path.between[1] === 'ground',
      conductance: pathConductance(path, windOfClass(wind)),
    }));
    const capacities = network.nodes.map((node) => node.capacityJPerK);
    const blends = [...lagged, ...bodies.map(({ part }) => part.zone)].map((zone) => ({
      own: nodes.length + lagged.indexOf(zone),
      lagS: network.zones[zone].lagS,
      of: network.zones[zone].of.map(({ end, weight }) => ({ node: nodes.indexOf(end), weight })),
    }));
    const conductances = bodies.map(({ part, liquid }) => conductanceAt(part, wind) / liquid);
    const line = (values, t) => values[hour] + ((values[hour + 1] - values[hour]) * t) / HOUR_S;
    return (t, y) => {
      const outside = line(air.temperatureC, t);
      const ground = line(air.groundC, t);
      const rates = new Array(y.length).fill(0);
      for (const { from, to, ground: toGround, conductance } of paths) {
        const other = to >= 0 ? y[to] : toGround ? ground : outside;
        const heat = conductance * (other - y[from]);
        rates[from] += heat / capacities[from];
        if (to >= 0) rates[to] -= heat / capacities[to];
      }
      const drawn = (of) =>
        of.reduce((sum, { node, weight }) => sum + weight * (node >= 0 ? y[node] : outside), 0);
      for (let i = 0; i < lagged.length; i++) {
        const { own, lagS, of } = blends[i];
        rates[own] = (drawn(of) - y[own]) / lagS;
      }
      const first = nodes.length + lagged.length;
      for (let i = 0; i < bodies.length; i++) {
        const { own, lagS, of } = blends[lagged.length + i];
        const air0 = lagS > 0 ? y[own] : drawn(of);
        rates[first + i] = conductances[i] * (air0 - temperatureOf(bodies[i], y[first + i]));
      }
      return rates;
    };
  }
}

function temperatureOf({ liquid, solid, latentK }, u) {
  if (u > 0) return u;
  return u >= -latentK ? 0 : ((u + latentK) * liquid) / solid;
}

function pointOf(body, u) {
  return { temperatureC: temperatureOf(body, u), taken: Math.min(1, Math.max(0, -u / body.latentK)) };
}

/** Largest difference in temperature or ice. Parts with an ice layer of their own take cold by another law. */
function farthest(states, runs) {
  let most = 0;
  states.forEach((points, hour) =>
    points.forEach((point, i) => {
      most = Math.max(most, Math.abs(point.temperatureC - runs[i].temperatureC[hour + 1]));
      most = Math.max(most, Math.abs(point.taken - runs[i].iceFraction[hour + 1]));
    }),
  );
  return most;
}
