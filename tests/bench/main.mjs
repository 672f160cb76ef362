/**
 * How fast the model is: `npm run bench`. Everything is CPU time, ratios are taken in one run, turn by turn, as the
 * machine may be shared. Numbers for the record stand in docs/speed.md.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { growth } from './growth.mjs';
import { compileKernel, farthest, runKernel, writeCase } from './kernel.mjs';
import { againstOdex } from './odex.mjs';
import { cases } from './scenarios.mjs';
import { STAGES, least, passStages, stagesOf } from './stages.mjs';
import { throughputOf } from './throughput.mjs';

const ROUNDS = 8;
const say = (line) => process.stdout.write(`${line}\n`);
const load = () => `load ${loadavg()[0].toFixed(1)}`;

function showThroughput() {
  say(`\nEffective part-hours per second, millions (${load()}):`);
  for (const one of cases()) {
    const { leaving, toTheEnd } = throughputOf(one, 12);
    const size = `${one.outlook.members.length} members, ${one.outlook.hours - 1} h, ${one.unit.parts.length} parts`;
    say(
      `  ${one.name} (${size}): left at first damage ${leaving.toFixed(1)}, to the end ${toTheEnd.toFixed(1)}`,
    );
  }
}

/** Turn by turn, so that what else the machine does falls on both. */
function showKernel(folder) {
  const program = compileKernel(folder);
  if (program === null) {
    say('\nLEFT OUT: the comparison with C++, as there is no g++. Install it to have all numbers.');
    return;
  }
  say(
    `\nAgainst the same kernel in C++, -O3: CPU time in µs per member, ours / C++ = speed of ours (${load()}):`,
  );
  for (const one of cases()) {
    const stages = stagesOf(one);
    const files = writeCase(stages, folder);
    const [ours, theirs] = [[], []];
    for (let round = 0; round < ROUNDS; round++) {
      for (let i = 0; i < 5; i++) ours.push(passStages(stages));
      const { spent, answers } = runKernel(program, files, 5);
      theirs.push(spent);
      const apart = farthest(stages.answers, answers);
      if (!(apart < 1e-6)) throw new Error(`${one.name}: C++ answers ${apart} s away from ours.`);
    }
    showStages(one.name, least(ours), least(theirs));
  }
}

function showStages(name, ours, theirs) {
  say(`  ${name}`);
  const sum = (of) => (spent) => of.reduce((total, stage) => total + spent[stage], 0);
  const rows = STAGES.map((stage, i) => [stage, (spent) => spent[i]]);
  // The switches of a thermostat are found by ours and handed to C++.
  const rest = [
    ['all, left at first damage', sum([0, 1, 2])],
    ['all, to the end', sum([0, 1, 3])],
  ];
  for (const [stage, of] of [...rows, ...rest]) {
    const [a, b] = [of(ours), of(theirs)];
    say(`    ${stage}: ${(a / 1000).toFixed(0)} / ${(b / 1000).toFixed(0)} = ${(b / a).toFixed(2)}`);
  }
}

function showOdex() {
  const [one] = cases();
  const bare = { ...one.unit, parts: one.unit.parts.filter((part) => part.iceLayerRatio === 0) };
  const { oursMs, odexMs, tolerance, error } = againstOdex(stagesOf({ ...one, unit: bare }), one.airs[0], 72);
  say(`\nAgainst odex, 72 h of one member, ${bare.parts.length} parts, every hour recorded (${load()}):`);
  say(`  ours ${oursMs.toFixed(2)} ms, odex ${odexMs.toFixed(0)} ms: ${(odexMs / oursMs).toFixed(0)} times`);
  say(`  (tolerance ${tolerance}, which leaves ${error.toExponential(1)} K or ice between them)`);
}

function showGrowth() {
  const { sizes, times, exponent } = growth();
  say(`\nDifferent units, 2 members of 24 h, from the description to the risk (${load()}):`);
  sizes.forEach((size, i) => say(`  ${size}: ${(times[i] / 1000).toFixed(1)} s`));
  say(`  time grows with their number to the power ${exponent.toFixed(3)}`);
  say(`  peak memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MiB, all risks kept`);
}

function showAllocation() {
  const script = fileURLToPath(new URL('allocation.mjs', import.meta.url));
  const flags = ['--expose-gc', '--min-semi-space-size=64', '--max-semi-space-size=64'];
  const answer = JSON.parse(execFileSync(process.execPath, [...flags, script], { encoding: 'utf8' }));
  say('\nLeft to the garbage collector by one more member, once warm:');
  for (const [name, bytes] of Object.entries(answer)) say(`  ${name}: ${bytes} bytes`);
}

const folder = mkdtempSync(join(tmpdir(), 'drainby-bench-'));
try {
  showThroughput();
  showKernel(folder);
  showOdex();
  showAllocation();
  showGrowth();
} finally {
  rmSync(folder, { recursive: true });
}
