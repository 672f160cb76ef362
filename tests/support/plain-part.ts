import type { Part } from '../../src/model/unit.ts';

/** 1 kg at 0.5 W/K in calm air: 8400 s as water, and a fifth of it is ice after 66 710 J. */
export function plainPart(over: Partial<Part> = {}): Part {
  return {
    id: 'litre',
    label: 'litre',
    zone: 'outside',
    circuit: 'cold',
    waterKg: 1,
    conductanceWPerK: 0.5,
    windShare: 0,
    wallHeatCapacityJPerK: 0,
    startTemperatureC: null,
    body: 'rigid',
    blocked: 0.2,
    solid: 0.95,
    iceLayerRatio: 0,
    pocket: 'never',
    provenance: 'config',
    ...over,
  };
}
