/**
 * Cold that comes within hours. The fitting of these stories is split by 0.1143 kg × 334 kJ/kg × 0.2 / 0.5 W/K =
 * 4.24 K·h below freezing; winterizing takes 90 min with 40 min of travel before it and 2 h of margin after it, 4 h 10 min
 * in all. The sun sets at 23:38Z (16:38 in Denver) in the last week of November there.
 */
import { describe, it } from 'vitest';
import { steady } from './air.ts';
import { Story, type Due } from './story.ts';

const LONG = 300_000;

/** From the evening before Thanksgiving's eve: 8 °C falls to −15 within an hour, for a day and a half. */
const OUTBREAK = steady(8, [{ from: '2026-11-25T06:00:00Z', hours: 36, celsius: -15 }]);

/** First in the forecast of 12:00Z the day before, eighteen hours ahead. */
const KNOWN = '2026-11-24T12:00:00Z';

async function outbreak(): Promise<Story> {
  const known = Date.parse(KNOWN) / 1000;
  const says = (at: number, now: number): number => (now < known && at > now ? 8 : OUTBREAK(at));
  return await Story.begin({ from: '2026-11-24T06:00:00Z', says });
}

/**
 * The air passes freezing at 05:21Z at 23 K/h, the fitting 14 min later (it lags by 0.1143 kg × 4186 J/(kg·K) / 0.5 W/K,
 * 16 min), and its budget is used when 23/2·(t² − 0.235²) = 4.24 K·h: t = 0.65 h, 06:00Z. A forecast that is 3 K too warm
 * makes it 05:50Z. So the latest start is 01:40Z to 01:50Z, in the dark; in daylight it is 23:38Z less 90 and 40 min,
 * 21:28Z.
 */
const ACT: Due = {
  kind: 'act',
  action: 'winterize',
  from: KNOWN,
  to: KNOWN,
  startBy: ['2026-11-24T21:15:00Z', '2026-11-24T21:40:00Z'],
  says: /Winterize/,
};
/** Three hours before. */
const LAST_CALL: Due = {
  kind: 'last-call',
  action: 'winterize',
  from: '2026-11-24T18:15:00Z',
  to: '2026-11-24T20:00:00Z',
  startBy: ['2026-11-24T21:15:00Z', '2026-11-24T21:40:00Z'],
};

describe('an outbreak, eighteen hours ahead', () => {
  it(
    'is told at once, called for once more, and over when the air is mild again',
    { timeout: LONG },
    async () => {
      const story = await outbreak();
      await story.until('2026-11-24T21:00:00Z');
      await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
      await story.until('2026-11-25T12:00:00Z', { everyHours: 3 });
      await story.until('2026-11-27T12:00:00Z');
      // The last hour of cold leads to 8 °C: of it 39 min lie below freezing, 4.9 K·h, from water that is yet to cool.
      story.expectHeard([
        ACT,
        LAST_CALL,
        { kind: 'all-clear', from: '2026-11-26T17:00:00Z', to: '2026-11-26T20:00:00Z' },
      ]);
    },
  );

  it(
    'that is not heeded: late when the dark hours are gone, too, then frozen, checked, over',
    { timeout: LONG },
    async () => {
      const story = await outbreak();
      await story.until('2026-11-25T12:00:00Z');
      await story.until('2026-11-27T18:00:00Z', { everyHours: 3 });
      await story.mark('checked');
      await story.until('2026-11-28T18:00:00Z', { everyHours: 3 });
      story.expectHeard([
        ACT,
        LAST_CALL,
        {
          kind: 'late',
          action: 'winterize',
          from: '2026-11-25T01:40:00Z',
          to: '2026-11-25T03:00:00Z',
          says: /still worth/,
        },
        {
          kind: 'frozen',
          from: '2026-11-25T05:59:00Z',
          to: '2026-11-25T07:00:00Z',
          says: [/do not pressurise/i, /Warm it slowly/i],
        },
        { kind: 'all-clear', from: '2026-11-27T18:00:00Z', to: '2026-11-28T18:00:00Z' },
      ]);
    },
  );
});

/** The same fall, but nobody knows of it until it is four hours off: 4 h 10 min of travel, work and margin are gone. */
describe('cold that is in no forecast until the start has passed', () => {
  const KNOWN_LATE = '2026-11-25T02:00:00Z';
  const SHORT = steady(8, [{ from: '2026-11-25T06:00:00Z', hours: 14, celsius: -15 }]);
  const says = (at: number, now: number): number =>
    now < Date.parse(KNOWN_LATE) / 1000 && at > now ? 8 : SHORT(at);
  const LATE: Due = {
    kind: 'late',
    action: 'winterize',
    from: KNOWN_LATE,
    to: KNOWN_LATE,
    startBy: ['2026-11-25T01:30:00Z', '2026-11-25T01:55:00Z'],
    says: /still worth/,
    saysNot: /may have frozen/i,
  };

  it(
    '21. is late, not frozen: what is still worth doing; done in time, it is over',
    { timeout: LONG },
    async () => {
      const story = await Story.begin({ from: '2026-11-24T21:00:00Z', says });
      await story.until('2026-11-25T04:00:00Z');
      await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
      await story.until('2026-11-26T12:00:00Z');
      story.expectHeard([
        LATE,
        { kind: 'all-clear', from: '2026-11-25T19:00:00Z', to: '2026-11-25T22:00:00Z' },
      ]);
    },
  );

  it('… and frozen where nobody went', { timeout: LONG }, async () => {
    const story = await Story.begin({ from: '2026-11-24T21:00:00Z', says });
    await story.until('2026-11-26T12:00:00Z');
    story.expectHeard([LATE, { kind: 'frozen', from: '2026-11-25T05:59:00Z', to: '2026-11-25T07:00:00Z' }]);
  });
});
