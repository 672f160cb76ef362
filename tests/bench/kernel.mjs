/** The same kernel in C++: scenarios are written out for it, it is compiled, run, and its answers compared. */
import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { MOST_WIND_CLASSES } from '../../dist/model/film.js';
import { conductanceAt } from '../../dist/model/part-levels.js';
import { takenAt } from '../../dist/model/part.js';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../../dist/model/water.js';
import { MOST_NODES } from '../../dist/model/linear-system.js';
import { GROUND_B, OUTSIDE_A, STRETCH, TENDS, WEIGHT } from '../../dist/model/zone-track.js';

const SOURCE = fileURLToPath(new URL('kernel.cpp', import.meta.url));

/** The compiled kernel's path; null where there is no compiler. */
export function compileKernel(folder) {
  if (spawnSync('g++', ['--version']).status !== 0) return null;
  const program = join(folder, 'kernel');
  execFileSync('g++', ['-O3', '-std=c++17', SOURCE, '-o', program]);
  return program;
}

/** Writes a case out; returns what `runKernel` needs. */
export function writeCase({ unit, airs, plan, trace, zones }, folder) {
  const { nodes } = unit.network;
  const systems = [];
  const members = airs.map((air) => {
    const { track } = trace.solve(air, plan);
    for (let i = 0; i < track.count; i++) systems[track.systems[i].index] = track.systems[i];
    return memberNumbers(track, unit);
  });
  const numbers = [
    nodes.length,
    // A system that only the start asked for is in no stretch: any other stands in for it.
    [
      systems.length,
      Array.from(systems, (s) => systemNumbers(s ?? systems.find((other) => other !== undefined))),
    ],
    [zones.length, zones.map((zone) => zoneNumbers(unit.network, zone))],
    [unit.parts.length, unit.parts.map((part) => partNumbers(part, zones.indexOf(part.zone)))],
    [members.length, members],
  ].flat(Infinity);
  const scenario = join(folder, 'scenario.bin');
  writeFileSync(scenario, Buffer.from(Float64Array.from(numbers).buffer));
  return { scenario, answers: join(folder, 'answers.bin') };
}

/** Least CPU time of each stage over repeats [ns per member], and the answers. */
export function runKernel(program, { scenario, answers }, repeats) {
  const printed = execFileSync(program, [scenario, String(repeats), answers], { encoding: 'utf8' });
  const bytes = readFileSync(answers);
  return {
    spent: printed.trim().split(' ').map(Number),
    answers: new Float64Array(bytes.buffer, bytes.byteOffset, bytes.length / 8),
  };
}

function systemNumbers(s) {
  if (s.turns) throw new Error('The C++ kernel knows no modes that turn; choose another case.');
  const lists = [s.alpha, s.hourGrowth, s.hourIntegral, s.vectors, s.inverseVectors, s.inverseA];
  return [
    s.windClass,
    s.nodes,
    ...[...lists, s.perOutside, s.perGround, s.perLimit, s.constant].map((x) => [...x]),
  ];
}

function zoneNumbers({ nodes, zones }, zone) {
  const { of, lagS } = zones[zone];
  const drawn = of.filter(({ end }) => end !== 'outside');
  const outside = of.reduce((sum, { end, weight }) => sum + (end === 'outside' ? weight : 0), 0);
  const rows = drawn.map(({ end }) => nodes.findIndex((n) => n.id === end));
  return [lagS, outside, drawn.length, rows, drawn.map(({ weight }) => weight)];
}

function partNumbers(part, zone) {
  const { waterKg, wallHeatCapacityJPerK: wall } = part;
  return [
    zone,
    waterKg * WATER_HEAT_CAPACITY_J_PER_KG_K + wall,
    waterKg * ICE_HEAT_CAPACITY_J_PER_KG_K + wall,
    waterKg * LATENT_HEAT_J_PER_KG,
    takenAt(part, 1),
    takenAt(part, part.blocked),
    takenAt(part, part.solid),
    part.startTemperatureC ?? Number.NaN,
    Array.from({ length: MOST_WIND_CLASSES }, (_, wind) => conductanceAt(part, wind)),
  ];
}

function memberNumbers(track, unit) {
  const { nodes, vectors } = track.systems[0];
  const start = unit.network.nodes.map((_, node) => {
    let sum = track.rows[TENDS + node];
    for (let k = 0; k < nodes; k++) sum += vectors[node * MOST_NODES + k] * track.rows[WEIGHT + k];
    return sum;
  });
  const stretches = Array.from({ length: track.count }, (_, i) => [
    ...[track.hour[i], track.systems[i].index, track.startS(i), track.durationS(i)],
    ...[
      unit.heat?.capacityW ?? 0,
      ...track.rows.subarray(i * STRETCH + OUTSIDE_A, i * STRETCH + GROUND_B + 1),
    ],
  ]);
  return [start, track.count, stretches];
}

/** Largest difference of two lists of instants [s]; infinite when one has an instant where the other has none. */
export function farthest(ours, theirs) {
  let most = ours.length === theirs.length ? 0 : Infinity;
  for (let i = 0; i < ours.length; i++)
    if (ours[i] !== theirs[i]) most = Math.max(most, Math.abs(ours[i] - theirs[i]));
  return most;
}
