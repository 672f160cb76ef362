/** Part-hours per second through the whole of a unit's risk: members × hours × parts over CPU time. */
import { RiskAssessor } from '../../dist/model/risk.js';
import { RULE, WET, cpuMs, scenarioOf } from './scenarios.mjs';

/**
 * Best of `repeats`, once with every part left at its first damage and once with every part followed to the last
 * hour. Left or skipped hours count: these are effective part-hours.
 */
export function throughputOf({ unit, outlook, plan }, repeats) {
  const partHours = outlook.members.length * (outlook.hours - 1) * unit.parts.length;
  // Damage before now is not left at, and now is after all hours or before them.
  const [leaving, toTheEnd] = [-Infinity, Infinity].map((now) => {
    const assessor = new RiskAssessor({ unit, outlook, water: WET, now, rule: RULE });
    const times = Array.from({ length: repeats }, () => {
      const before = cpuMs();
      assessor.assess([scenarioOf(plan)]);
      return cpuMs() - before;
    });
    return partHours / Math.min(...times) / 1000;
  });
  return { leaving, toTheEnd };
}
