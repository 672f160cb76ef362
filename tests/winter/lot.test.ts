import { expect } from 'vitest';
import { itWithShared } from '../shared-data.ts';
import { lotOf, onsetAfter } from './lot.ts';
import { endOf, newYork, seoul, type Winter } from './series.ts';

const DAY = 24 * 3600;

/** Filled every tenth day: when the true air first damages each unit within ten days. */
function onsets(winter: Winter, whole: boolean): readonly (number | null)[] {
  const config = lotOf({ winter, accepted: 0.05, members: 11, whole });
  const from = Array.from({ length: 19 }, (_, i) => winter.firstHour + (5 + 10 * i) * DAY);
  return config.units.flatMap((unit) =>
    from
      .filter((at) => at + 10 * DAY < endOf(winter))
      .map((at) => onsetAfter({ config, unit, winter }, at, { from: at, to: at + 10 * DAY })),
  );
}

itWithShared('parts that are left out of the units are never the first that the true air damages', () => {
  for (const winter of [newYork(), seoul()]) {
    const lean = onsets(winter, false);
    expect(lean.filter((at) => at !== null).length).toBeGreaterThan(10);
    expect(lean).toEqual(onsets(winter, true));
  }
});
