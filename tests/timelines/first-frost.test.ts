/** Stories of a unit that is in use and without heat. The cold is a stated course; times follow from it. */
import { expect, it } from 'vitest';
import { seconds } from '../support/instants.ts';
import { HOUR, Story } from './story.ts';

const LONG = 120_000;

it(
  'the first frost comes after a mild month: told ahead, drained in time, over',
  { timeout: LONG },
  async () => {
    const cold = { from: seconds('2026-11-14T00:00:00Z'), hours: 14 };
    const says = (at: number): number => (at >= cold.from && at < cold.from + cold.hours * HOUR ? -6 : 6);
    const story = await Story.begin({ from: '2026-11-08T12:00:00Z', says });
    await story.until('2026-11-13T12:00:00Z');
    await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
    await story.until('2026-11-16T12:00:00Z');
    story.expectHeard([
      { kind: 'heads-up', from: '2026-11-08T12:00:00Z', to: '2026-11-09T06:00:00Z' },
      { kind: 'act', from: '2026-11-10T20:00:00Z', to: '2026-11-11T12:00:00Z' },
      { kind: 'all-clear', from: '2026-11-14T12:00:00Z', to: '2026-11-15T12:00:00Z' },
    ]);
    expect(story.outcomes.length).toBeGreaterThan(180);
  },
);
