/**
 * Stories of the sun, the clock and the thermometer. The fitting is split by 4.24 K·h below freezing (see
 * outbreak.test.ts); winterizing takes 4 h 10 min with travel and margin.
 */
import { describe, expect, it } from 'vitest';
import { iso, seconds } from '../support/instants.ts';
import { ANN, PROBE } from '../support/scenario.ts';
import { nightsAndDays, steady, turning } from './air.ts';
import { fitting, HOUR, Story, type Heard } from './story.ts';

const LONG = 300_000;
const EXACT = { kind: 'none' };

/** Winterized with antifreeze, as it was asked. */
const FILLED = { method: 'antifreeze', concentrationPercent: 50 } as const;

describe('the polar night', () => {
  it('has no daylight to wait for: the time to start by is that of the cold', { timeout: LONG }, async () => {
    const place = { id: 'creek', latitude: 69.65, longitude: 18.96, timeZone: 'Europe/Oslo', lie: 'bench' };
    const says = steady(8, [{ from: '2026-12-20T06:00:00Z', hours: 10, celsius: -12 }]);
    const people = [{ ...ANN, timeZone: 'Europe/Oslo', temperature: 'C' }];
    const story = await Story.begin({
      from: '2026-12-18T00:00:00Z',
      says,
      places: [place],
      people,
      errorModel: EXACT,
    });
    await story.until('2026-12-20T00:00:00Z', { everyHours: 2 });
    await story.mark('winterized', FILLED);
    await story.until('2026-12-21T00:00:00Z', { everyHours: 2 });
    // From 8 to −12 °C within the hour: freezing at 05:24Z, the fitting a quarter of an hour later; split about 06:03Z.
    story.expectHeard([
      {
        kind: 'act',
        action: 'winterize',
        from: '2026-12-18T00:00:00Z',
        to: '2026-12-18T00:00:00Z',
        startBy: ['2026-12-20T01:45:00Z', '2026-12-20T02:00:00Z'],
        says: /Sun 20 Dec, 02:\d\d/,
        saysNot: /Denver|daylight/,
      },
      { kind: 'last-call', from: '2026-12-19T22:45:00Z', to: '2026-12-20T00:00:00Z' },
      { kind: 'all-clear', from: '2026-12-20T14:00:00Z', to: '2026-12-20T18:00:00Z' },
    ]);
  });
});

describe('a clock that is changed in the night of the deadline', () => {
  const clocks = [
    // 02:00 MDT is 01:00 MST again at 08:00Z: the hour from one to two is there twice.
    { cold: '2026-11-01T12:00:00Z', shown: /Sun 1 Nov, 01:[45]\d (\(MDT\)|MDT)/ },
    { cold: '2026-11-01T13:00:00Z', shown: /Sun 1 Nov, 01:[45]\d (\(MST\)|MST)/ },
    // 02:00 MST is 03:00 MDT at 09:00Z.
    { cold: '2027-03-14T14:00:00Z', shown: /Sun 14 Mar, 03:[45]\d (\(MDT\)|MDT)/ },
  ];
  it.each(clocks)(
    'is told in the time that holds then: $shown',
    { timeout: LONG },
    async ({ cold, shown }) => {
      const first = seconds(cold);
      const says = steady(8, [{ from: iso(first), hours: 9, celsius: -12 }]);
      const config = { policy: { daylight: false } };
      const from = iso(first - 40 * HOUR);
      const story = await Story.begin({ from, says, errorModel: EXACT, config });
      await story.until(iso(first - 6 * HOUR), { everyHours: 2 });
      await story.mark('winterized', FILLED);
      await story.until(iso(first + 20 * HOUR), { everyHours: 2 });
      // Split three minutes after the first cold hour has begun, 4 h 10 min after the latest start.
      const startBy = [iso(first - 4.25 * HOUR), iso(first - 4 * HOUR)] as const;
      story.expectHeard([
        { kind: 'act', from, to: from, startBy, says: shown },
        { kind: 'last-call', from: iso(first - 7.2 * HOUR), to: iso(first - 6 * HOUR), startBy, says: shown },
        { kind: 'all-clear', from: iso(first + 8 * HOUR), to: iso(first + 12 * HOUR) },
      ]);
    },
  );
});

describe('nights at 24.9 and 25.1 °F', () => {
  const celsius = (fahrenheit: number): number => (fahrenheit - 32) / 1.8;

  async function pair(firstF: number, secondF: number): Promise<Heard[]> {
    const says = steady(8, [
      { from: '2026-11-26T05:00:00Z', hours: 9, celsius: celsius(firstF) },
      { from: '2026-11-27T05:00:00Z', hours: 9, celsius: celsius(secondF) },
    ]);
    const story = await Story.begin({ from: '2026-11-25T00:00:00Z', says });
    await story.until('2026-11-25T20:00:00Z', { everyHours: 2 });
    await story.mark('winterized', FILLED);
    await story.until('2026-11-28T12:00:00Z', { everyHours: 2 });
    story.expectHeard([
      { kind: 'act', action: 'winterize', from: '2026-11-25T00:00:00Z', to: '2026-11-25T00:00:00Z' },
      { kind: 'last-call', from: '2026-11-25T18:00:00Z', to: '2026-11-25T20:00:00Z' },
      { kind: 'all-clear', from: '2026-11-27T12:00:00Z', to: '2026-11-27T16:00:00Z' },
    ]);
    return story.heard;
  }

  it(
    'are the same story, whichever comes first: a tenth of a degree is no cliff',
    { timeout: 2 * LONG },
    async () => {
      const [one, other] = [await pair(24.9, 25.1), await pair(25.1, 24.9)];
      for (const [i, { startBy }] of one.entries()) {
        expect(Math.abs((startBy ?? 0) - (other[i]?.startBy ?? 0))).toBeLessThanOrEqual(300);
      }
    },
  );
});

describe('a unit that was frozen before it was added', () => {
  const unit = fitting();

  it(
    '18. after two nights at −8 it may have frozen; checked and mild, it is over',
    { timeout: LONG },
    async () => {
      const says = turning(nightsAndDays(-8, -1), '2026-12-10T16:00:00Z', () => 8);
      const story = await Story.begin({
        from: '2026-12-10T18:00:00Z',
        says,
        units: [unit],
        errorModel: EXACT,
      });
      await story.until('2026-12-11T18:00:00Z', { everyHours: 3 });
      await story.mark('checked');
      await story.until('2026-12-12T18:00:00Z', { everyHours: 3 });
      story.expectHeard([
        {
          kind: 'frozen',
          from: '2026-12-10T18:00:00Z',
          to: '2026-12-10T18:00:00Z',
          says: [/do not pressurise/i, /Warm it slowly/],
        },
        { kind: 'all-clear', from: '2026-12-11T18:00:00Z', to: '2026-12-12T18:00:00Z' },
      ]);
    },
  );

  it('19. at −8 by night and +4 by day the window opens after noon', { timeout: LONG }, async () => {
    // An outside shower valve, 0.03 kg and 0.24 W/K: solid after 11.6 K·h, its way open again under a fifth of ice, 9.3 K·h.
    // −2 + 6·cos is above freezing from 17:18Z to 02:42Z, 24.4 K·h; 9.3 of them are reached at 21:15Z (14:15 there). Then
    // 2.3 K·h below freezing close it again at about 04:40Z: winterizing has to begin by 00:30Z.
    const valve = { ...PROBE, water: '0.03 kg', conductance: '0.24 W/K' };
    const shower = fitting({ parts: { catalogue: false, own: [valve] } });
    const cold = turning(nightsAndDays(-8, 4), '2026-12-11T20:00:00Z', () => 8);
    const story = await Story.begin({
      from: '2026-12-10T13:00:00Z',
      says: cold,
      units: [shower],
      errorModel: EXACT,
    });
    await story.until('2026-12-10T23:00:00Z');
    await story.mark('winterized', FILLED);
    await story.mark('checked');
    await story.until('2026-12-12T20:00:00Z', { everyHours: 2 });
    story.expectHeard([
      {
        kind: 'frozen',
        from: '2026-12-10T13:00:00Z',
        to: '2026-12-10T13:00:00Z',
        says: /Warm it slowly/,
      },
      {
        kind: 'act',
        action: 'winterize',
        from: '2026-12-10T13:00:00Z',
        to: '2026-12-10T13:00:00Z',
        // In the light, too: 23:37Z less 90 and 40 min.
        startBy: ['2026-12-10T21:15:00Z', '2026-12-10T21:35:00Z'],
      },
      {
        kind: 'last-call',
        from: '2026-12-10T18:15:00Z',
        to: '2026-12-10T20:00:00Z',
        startBy: ['2026-12-10T21:15:00Z', '2026-12-10T21:35:00Z'],
      },
      { kind: 'all-clear', from: '2026-12-11T15:00:00Z', to: '2026-12-12T20:00:00Z' },
    ]);
  });
});
