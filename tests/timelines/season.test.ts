/**
 * Stories of more than one cold, and of none that matters. The fitting is split by 4.24 K·h below freezing (see
 * outbreak.test.ts); drained it bears what does not stand at −4 °C or below for six hours.
 */
import { describe, expect, it } from 'vitest';
import { PROBE } from '../support/scenario.ts';
import { seconds } from '../support/instants.ts';
import { steady } from './air.ts';
import { fitting, Story } from './story.ts';

const LONG = 300_000;
const DRAINS = { units: [fitting({ parts: { catalogue: false, own: [{ ...PROBE, pocket: false }] } })] };

describe('a warm spell between two waves of cold', () => {
  it('makes two stories, each told and each over', { timeout: LONG }, async () => {
    const waves = steady(10, [
      { from: '2026-11-20T06:00:00Z', hours: 10, celsius: -9 },
      { from: '2026-11-30T06:00:00Z', hours: 10, celsius: -9 },
    ]);
    const story = await Story.begin({ from: '2026-11-18T18:00:00Z', says: waves });
    await story.until('2026-11-19T18:00:00Z', { everyHours: 3 });
    await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
    await story.until('2026-11-22T18:00:00Z', { everyHours: 3 });
    await story.mark('in-use');
    await story.until('2026-11-29T18:00:00Z', { everyHours: 3 });
    await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
    await story.until('2026-12-02T00:00:00Z', { everyHours: 3 });
    story.expectHeard([
      { kind: 'act', from: '2026-11-18T18:00:00Z', to: '2026-11-18T18:00:00Z' },
      { kind: 'all-clear', from: '2026-11-20T15:00:00Z', to: '2026-11-21T15:00:00Z' },
      // Five days ahead by her own wish; σ is 2.5 K then, and −9 °C for ten hours harms unless it errs by 8.6 K.
      { kind: 'heads-up', from: '2026-11-25T00:00:00Z', to: '2026-11-25T15:00:00Z' },
      // 72 h ahead.
      {
        kind: 'act',
        action: 'winterize',
        from: '2026-11-27T03:00:00Z',
        to: '2026-11-27T12:00:00Z',
        startBy: ['2026-11-29T21:15:00Z', '2026-11-29T21:40:00Z'],
      },
      { kind: 'all-clear', from: '2026-11-30T15:00:00Z', to: '2026-12-01T15:00:00Z' },
    ]);
    const episodes = story.heard.map(({ received }) => received.mail.messageId);
    expect(new Set(episodes).size).toBe(5);
  });
});

describe('27. spring', () => {
  it('says when to fill, and asks for the drain again at a late frost', { timeout: LONG }, async () => {
    const nights = steady(10, [
      { from: '2027-03-20T06:00:00Z', hours: 8, celsius: -2 },
      { from: '2027-04-02T06:00:00Z', hours: 8, celsius: -2 },
    ]);
    // The late frost is in no forecast until 60 h before it.
    const known = seconds('2027-03-30T18:00:00Z');
    const late = seconds('2027-04-01T00:00:00Z');
    const says = (at: number, now: number): number => (at > late && now < known ? 10 : nights(at));
    const story = await Story.begin({ from: '2027-03-18T18:00:00Z', says, ...DRAINS });
    await story.until('2027-03-19T18:00:00Z', { everyHours: 3 });
    await story.mark('drained', { quality: 'well' });
    await story.until('2027-03-22T18:00:00Z', { everyHours: 3 });
    await story.mark('in-use');
    await story.until('2027-04-01T18:00:00Z', { everyHours: 6 });
    await story.mark('drained', { quality: 'well' });
    await story.until('2027-04-03T18:00:00Z', { everyHours: 3 });
    story.expectHeard([
      { kind: 'heads-up', from: '2027-03-18T18:00:00Z', to: '2027-03-18T18:00:00Z' },
      { kind: 'act', action: 'drain', from: '2027-03-18T21:00:00Z', to: '2027-03-19T12:00:00Z' },
      {
        kind: 'fill-again',
        from: '2027-03-20T12:00:00Z',
        to: '2027-03-21T12:00:00Z',
        // Heat on a tank without water burns its element out: common practice, no source.
        says: [/only (when|once|after) water/i, /drain/i],
      },
      {
        kind: 'heads-up',
        from: '2027-03-30T18:00:00Z',
        to: '2027-03-31T00:00:00Z',
        says: /start by Thu 1 Apr/,
      },
      {
        kind: 'act',
        action: 'drain',
        from: '2027-03-31T18:00:00Z',
        to: '2027-04-01T00:00:00Z',
        // In daylight: the sun sets at 01:28Z on 2 April there, less 45 and 40 min.
        startBy: ['2027-04-01T23:50:00Z', '2027-04-02T00:10:00Z'],
      },
      { kind: 'fill-again', from: '2027-04-02T12:00:00Z', to: '2027-04-03T12:00:00Z' },
    ]);
  });
});

describe('a unit that was winterized for good', () => {
  it(
    '13. by air with traps, toilet and pump done, at −25: nothing at all is sent',
    { timeout: LONG },
    async () => {
      const says = steady(2, [
        { from: '2027-01-10T00:00:00Z', hours: 72, celsius: -8 },
        { from: '2027-01-10T06:00:00Z', hours: 60, celsius: -17 },
        { from: '2027-01-10T12:00:00Z', hours: 48, celsius: -25 },
      ]);
      const water = { state: 'winterized', method: 'air', traps: true, since: '2026-10-15T00:00:00Z' };
      const unit = fitting({ water, length: '26 ft', parts: { catalogue: true } });
      const story = await Story.begin({ from: '2027-01-05T00:00:00Z', says, units: [unit] });
      await story.until('2027-01-14T12:00:00Z', { everyHours: 12 });
      story.expectHeard([]);
      expect(story.outcomes.every(({ record }) => record.placesWithForecast === 1)).toBe(true);
      expect(story.outcomes.length).toBeGreaterThan(18);
    },
  );
});
