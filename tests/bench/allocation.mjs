/**
 * What the risk of one more member leaves to the garbage collector once warm, in bytes, as JSON by case. Run with
 * `--expose-gc --min-semi-space-size=64 --max-semi-space-size=64`, so that nothing is collected in between.
 */
import { getHeapStatistics } from 'node:v8';
import { RiskAssessor } from '../../dist/model/risk.js';
import { RULE, WET, cases, scenarioOf } from './scenarios.mjs';

const FEW = 5;
const MANY = 25;

/** Least of several, since the compiler works alongside. */
function grownBy(assess) {
  const growths = Array.from({ length: 5 }, () => {
    globalThis.gc();
    const before = getHeapStatistics().used_heap_size;
    assess();
    return getHeapStatistics().used_heap_size - before;
  });
  return Math.min(...growths);
}

const answer = {};
for (const { name, unit, outlook, plan } of cases()) {
  const assessors = [FEW, MANY].map((count) => {
    const members = outlook.members.slice(0, count);
    const assessor = new RiskAssessor({
      unit,
      outlook: { ...outlook, members },
      water: WET,
      now: -Infinity,
      rule: RULE,
    });
    return () => assessor.assess([scenarioOf(plan)]);
  });
  for (let i = 0; i < 30; i++) for (const assess of assessors) assess();
  const [few, many] = assessors.map(grownBy);
  answer[name] = Math.round((many - few) / (MANY - FEW));
}
process.stdout.write(JSON.stringify(answer));
