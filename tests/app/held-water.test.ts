/** Whether what was asked has been done, by what was said of the water since. */
import { describe, expect, it } from 'vitest';
import { isDone } from '../../src/app/held-water.ts';
import type { CircuitState, UnitWater } from '../../src/model/water-state.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';

const WET: CircuitState = { state: { kind: 'wet' }, since: null, by: null };
const DRY: CircuitState = { state: { kind: 'drained', quality: 'well' }, since: null, by: null };

/** A trailer of the catalogue: a city inlet, a flush line and an outside shower can be emptied alone. */
function modelOf() {
  const unit = probeUnit({ kind: 'travel-trailer', length: '24 ft', parts: { catalogue: true } });
  return scenario(configOf({ units: [unit] }), {}).units[0]!.model;
}

function emptied(...circuits: readonly string[]): UnitWater {
  return { all: WET, circuits: Object.fromEntries(circuits.map((id) => [id, DRY])) };
}

describe('a partial drain', () => {
  const asked = { action: 'drain-part', circuits: ['inlet', 'flush'] } as const;

  it('is done when every circuit that was asked for is empty, and no sooner', () => {
    const model = modelOf();
    expect(isDone(model, emptied('inlet'), asked)).toBe(false);
    expect(isDone(model, emptied('flush'), asked)).toBe(false);
    expect(isDone(model, emptied('inlet', 'flush'), asked)).toBe(true);
  });

  it('is not done by what was winterized elsewhere', () => {
    expect(isDone(modelOf(), emptied('washer', 'inlet'), asked)).toBe(false);
  });

  it('of which an older program kept no circuits asks for all that can be emptied alone', () => {
    const model = modelOf();
    const before = { action: 'drain-part' } as const;
    expect(isDone(model, emptied('inlet', 'flush'), before)).toBe(false);
    expect(isDone(model, { all: DRY, circuits: {} }, before)).toBe(true);
  });
});
