/**
 * Stories of what somebody answers by the links of a mail. All have one night: mild, then hard cold from 19:00 MST on
 * Friday 13 November (02:00Z) for twelve hours. At −12 °C the air comes down through 0 °C at 01:20Z; the fitting follows
 * 16 min later and takes 4.24 K·h (tests/support/scenario.ts), which it has at 02:04Z. The deadline is that of the
 * coldest fortieth of the members, some ten minutes before. Winterizing takes 90 min, the way 40, the margin 120: start
 * by 21:40Z to 21:55Z, in daylight (sunset 23:47Z), and the last call three hours before.
 */
import { expect, it } from 'vitest';
import { cold, fittingOf, lastOf, press, textOf, WEB } from './people.ts';
import { PROBE } from '../support/scenario.ts';
import { fitting, Story } from './story.ts';

const LONG = 120_000;
const COLOUR = 'Antifreeze in, colour at every outlet';
const WINTERIZE_BY = ['2026-11-13T21:30:00Z', '2026-11-13T22:00:00Z'] as const;
const OVER = { kind: 'all-clear', from: '2026-11-14T12:00:00Z', to: '2026-11-14T18:00:00Z' };

async function beginWith(circuits: readonly string[], lowC = -12): Promise<Story> {
  const own = [PROBE, ...circuits.map((circuit) => fittingOf(circuit))];
  return await Story.begin({
    from: '2026-11-12T12:00:00Z',
    says: cold([{ from: '2026-11-14T02:00:00Z', hours: 12, lowC }]),
    units: [fitting({ parts: { catalogue: false, own } })],
    config: { web: WEB },
  });
}

const ACT = {
  kind: 'act',
  from: '2026-11-12T12:00:00Z',
  to: '2026-11-12T12:00:00Z',
  action: 'winterize',
  startBy: WINTERIZE_BY,
} as const;

/** To five in the afternoon before the cold; some work has been done since noon. */
async function untilNoon(story: Story): Promise<void> {
  await story.until('2026-11-13T12:00:00Z', { everyHours: 4 });
  await story.until('2026-11-13T16:00:00Z');
}

it(
  'colour everywhere but at the flush line and the outside shower: only those, a quarter of an hour',
  { timeout: LONG },
  async () => {
    const story = await beginWith(['hot', 'flush', 'outside-shower']);
    await untilNoon(story);
    const page = await press(
      story,
      { mail: lastOf(story, 'act'), words: COLOUR },
      { 'without-colour': ['flush', 'outside-shower'] },
    );
    expect(page.text).toMatch(/Winterized, but not the (black-tank )?flush line and the outside shower/);
    await story.until('2026-11-13T21:00:00Z');
    const more = { method: 'antifreeze', circuits: ['flush', 'outside-shower'] } as const;
    await story.mark('winterized', more);
    await story.until('2026-11-14T18:00:00Z');
    // 15 min in place of 90: 75 min later than before.
    const startBy = ['2026-11-13T22:45:00Z', '2026-11-13T23:15:00Z'] as const;
    const call = { kind: 'last-call', from: '2026-11-13T20:00:00Z', to: '2026-11-13T21:00:00Z', startBy };
    story.expectHeard([ACT, { ...call, says: /15 min/ }, OVER]);
    const text = textOf(lastOf(story, 'last-call'));
    expect(text).toMatch(/flush line and the outside shower/);
    expect(text).not.toMatch(/hot lines/);
  },
);

it(
  'two gallons gone and no colour at the hot tap: the bypass stands half way, not winterized',
  { timeout: LONG },
  async () => {
    const story = await beginWith(['hot']);
    await untilNoon(story);
    const act = { mail: lastOf(story, 'act'), words: COLOUR };
    const page = await press(story, act, { 'without-colour': 'hot', used: '2 gal' });
    expect(page.text).toMatch(/Not winterized: no colour at/);
    expect(page.text).toMatch(/bypass of the water heater stands half way/);
    await story.until('2026-11-13T19:00:00Z');
    // Begun again with the bypass right: the same link puts it right.
    const again = await press(story, act);
    expect(again.text).not.toMatch(/Not winterized/);
    await story.until('2026-11-14T18:00:00Z');
    const call = { kind: 'last-call', from: '2026-11-13T19:00:00Z', to: '2026-11-13T19:00:00Z' };
    story.expectHeard([ACT, { ...call, action: 'winterize', startBy: WINTERIZE_BY, says: /hot/ }, OVER]);
  },
);

it('15 % at the last tap and −18 °C coming: pump again', { timeout: LONG }, async () => {
  const story = await beginWith([], -18);
  await untilNoon(story);
  const act = { mail: lastOf(story, 'act'), words: COLOUR };
  const weak = await press(story, act, { percent: '15' });
  // By the makers' table between 12 % (−6.7 °C, 20 °F) and 20 % (−12.2 °C, 10 °F).
  expect(weak.text).toMatch(/Fluid of 15 % bursts nothing down to 1[5-8] °F.*pump again/);
  await story.until('2026-11-13T19:00:00Z');
  const page = await press(story, act, { percent: '30' });
  expect(page.text).not.toMatch(/pump again/);
  await story.until('2026-11-14T18:00:00Z');
  // Steeper: 24 K an hour, so 0 °C at 01:15Z and the deadline some ten minutes earlier than at −12 °C. Fluid of 15 %
  // bursts between −6.7 °C (12 %) and −12.2 °C (20 %), which the air passes before 02:00Z.
  const startBy = ['2026-11-13T21:10:00Z', '2026-11-13T22:00:00Z'] as const;
  const call = { kind: 'last-call', from: '2026-11-13T19:00:00Z', to: '2026-11-13T19:00:00Z', startBy };
  story.expectHeard([
    { ...ACT, startBy },
    {
      ...call,
      action: 'winterize',
      says: /What was said to be done so\s+far\s+is\s+not\s+enough for this cold[\s\S]*antifreeze, 15 %/,
    },
    OVER,
  ]);
});

it(
  '"winterized", and nobody says how: air only, so the traps, five minutes, until it is answered',
  { timeout: LONG },
  async () => {
    const story = await beginWith(['trap-kitchen']);
    await untilNoon(story);
    const remarks = await story.mark('winterized', { by: 'ann' });
    expect(remarks.join(' ')).toMatch(/taken as blown out, traps not done/);
    await story.until('2026-11-13T21:00:00Z');
    // 5 min in place of 90: 85 min later.
    const startBy = ['2026-11-13T22:55:00Z', '2026-11-13T23:25:00Z'] as const;
    const call = { kind: 'last-call', from: '2026-11-13T20:00:00Z', to: '2026-11-13T21:00:00Z', startBy };
    const asked = lastOf(story, 'last-call');
    const page = await press(story, { mail: asked, words: 'Blown out, antifreeze in traps and pump' });
    expect(page.text).toMatch(/Kept/);
    await story.until('2026-11-14T18:00:00Z');
    story.expectHeard([ACT, { ...call, says: /How was it winterized\?/ }, OVER]);
    expect(textOf(asked)).toMatch(/traps? only|trap \(kitchen\)/);
    expect(textOf(asked)).toMatch(/5 min/);
  },
);
