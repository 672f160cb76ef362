/** The stages of the kernel one by one, as the risk of a unit goes through them, on warm code and warm arrays. */
import { PartBody } from '../../dist/model/part.js';
import { Trace } from '../../dist/model/trace.js';
import { cpuMs } from './scenarios.mjs';

export const STAGES = ['nodes', 'air', 'parts, left at first damage', 'parts, to the end'];

/** What is kept from member to member, and what the last pass answered. */
export function stagesOf({ unit, airs, plan }) {
  const trace = new Trace(unit);
  const bodies = unit.parts.map((part) => new PartBody(part));
  const zones = [...new Set(unit.parts.map((part) => part.zone))];
  const answers = new Float64Array(2 * airs.length * unit.parts.length);
  return { unit, airs, plan, trace, bodies, zones, answers };
}

/** One pass over all members: CPU time of each stage, nanoseconds per member. */
export function passStages({ unit, airs, plan, trace, bodies, zones, answers }) {
  const spent = [0, 0, 0, 0];
  let at = 0;
  let before = cpuMs();
  const lap = (stage) => {
    const now = cpuMs();
    spent[stage] += ((now - before) * 1e6) / airs.length;
    before = now;
  };
  for (const air of airs) {
    trace.solve(air, plan);
    lap(0);
    for (const zone of zones) trace.zone(zone);
    lap(1);
    for (let i = 0; i < bodies.length; i++)
      answers[at++] = blockedIn(bodies[i], trace.zone(unit.parts[i].zone), true);
    lap(2);
    for (let i = 0; i < bodies.length; i++)
      answers[at++] = blockedIn(bodies[i], trace.zone(unit.parts[i].zone), false);
    lap(3);
  }
  return spent;
}

/** First time a part is blocked, or the last; infinite if never. */
function blockedIn(body, air, leave) {
  let found = leave ? Infinity : -Infinity;
  if (!air.goesBelow) return found;
  body.start(air, 0);
  for (let i = 0; i < air.count; i++) {
    i = body.untilBlocked(air, i, air.count);
    if (i === air.count) return found;
    found = air.startS(i) + body.passed.blockedS;
    if (leave) return found;
  }
  return found;
}

/** The least of each stage over passes. */
export function least(passes) {
  return STAGES.map((_, stage) => Math.min(...passes.map((pass) => pass[stage])));
}
