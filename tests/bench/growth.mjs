/** Time against the number of units, each with numbers of its own, from building it to its risk. */
import { buildUnit } from '../../dist/model/catalogue.js';
import { NEVER_HEATED } from '../../dist/model/heat-plan.js';
import { RiskAssessor } from '../../dist/model/risk.js';
import { PLAIN, RULE, WET, cpuMs, outlookOf, scenarioOf } from './scenarios.mjs';

const SIZES = [100, 300, 1000, 3000, 10_000, 30_000, 100_000];

/** CPU time after so many units, all of whose risks are kept, and the exponent of time against number. */
export function growth(sizes = SIZES) {
  const outlook = outlookOf({ meanC: -1, hours: 24, members: 2, gusty: false });
  risksOf(0, 200, outlook);
  const kept = [];
  const times = [];
  let before = 0;
  const start = cpuMs();
  for (const size of sizes) {
    kept.push(risksOf(before, size, outlook));
    times.push(cpuMs() - start);
    before = size;
  }
  return {
    sizes,
    times,
    exponent: slopeOf(sizes.map(Math.log), times.map(Math.log)),
    kept: kept.flat().length,
  };
}

function risksOf(from, to, outlook) {
  return Array.from({ length: to - from }, (_, i) => {
    const unit = smallUnit(from + i);
    return new RiskAssessor({ unit, outlook, water: WET, now: 0, rule: RULE }).assess([
      scenarioOf(NEVER_HEATED),
    ]);
  });
}

/** A few parts, so that a hundred thousand go through in a minute or two; no two units have a number in common. */
function smallUnit(i) {
  const own = ['outside', 'bay', 'underbelly'].map((zone, k) => ({
    ...{ id: zone, label: null, zone, circuit: 'cold', wallHeatCapacityJPerK: 0, startTemperatureC: null },
    ...{ waterKg: 0.05 * (k + 1) + i * 1e-6, conductanceWPerK: 0.3 + i * 1e-6 },
    ...{ body: 'rigid', blocked: null, solid: null, pocket: 'never' },
  }));
  const parts = { catalogue: false, add: [], without: [], own };
  return buildUnit({ ...PLAIN, id: `unit-${i}`, lengthM: 5 + i * 5e-5, parts });
}

/** Least squares. */
function slopeOf(x, y) {
  const mean = (values) => values.reduce((sum, v) => sum + v, 0) / values.length;
  const [mx, my] = [mean(x), mean(y)];
  const dot = (f) => x.reduce((sum, _, i) => sum + f(i), 0);
  return dot((i) => (x[i] - mx) * (y[i] - my)) / dot((i) => (x[i] - mx) ** 2);
}
