import { expect, it } from 'vitest';
import type { Part } from '../../src/model/unit.ts';
import { runThrough } from '../support/part-run.ts';

const LINE: Part = {
  id: 'line',
  label: 'line',
  zone: 'underbelly',
  circuit: 'flush',
  waterKg: 0.06,
  conductanceWPerK: 0.35,
  windShare: 0,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: null,
  body: 'flexible',
  blocked: 0.9,
  solid: 0.95,
  iceLayerRatio: 0,
  pocket: 'never',
  provenance: 'estimate',
};

/** An underbelly that warms through 0 °C within the hour, as the network gives it: a line and two modes. */
const WARMING = {
  a: 0.13656298552817736,
  b: 0.00019444444444444443,
  durationS: 3600,
  modes: [
    { alpha: -0.00008339203977721993, beta: 0, p: -0.7950584537285884, q: 0 },
    { alpha: -0.0003705753166836381, beta: 0, p: -0.39518969532779347, q: 0 },
  ],
};

it('thaws a part that is all ice once its air is above freezing, rather than freezing it again at once', () => {
  const { events, end } = runThrough(LINE, [WARMING], { temperatureC: -0.05, taken: 1, solid: true });
  expect(events).toEqual([]);
  expect(end.temperatureC).toBe(0);
  expect(end.taken).toBeGreaterThan(0.99);
  expect(end.taken).toBeLessThan(1);
});
