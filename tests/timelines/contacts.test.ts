/**
 * Stories of who is told, and when. All have the night of answers.test.ts at −8 °C: mild, then cold from 19:00 MST on
 * Friday 13 November (02:00Z) for twelve hours. The air comes down through 0 °C at 01:26Z, the fitting has its 4.24 K·h
 * at 02:18Z, and the coldest fortieth of the members a quarter to half an hour before. Winterizing takes 90 min, the way
 * 40, the margin 120: start by 21:30Z to 22:10Z, in daylight (sunset 23:47Z), with the last call three hours before.
 */
import { expect, it } from 'vitest';
import { ANN } from '../support/scenario.ts';
import { BEN, checkNow, cold, edit, lastOf, press, WEB } from './people.ts';
import { fitting, Story, type Plot } from './story.ts';

const LONG = 120_000;
const BY = ['2026-11-13T21:30:00Z', '2026-11-13T22:10:00Z'] as const;
const NIGHT = cold([{ from: '2026-11-14T02:00:00Z', hours: 12, lowC: -8 }]);
const OVER = { kind: 'all-clear', from: '2026-11-14T12:00:00Z', to: '2026-11-16T00:00:00Z' };

const at = (instant: string) => ({ from: instant, to: instant });
const ACT = { kind: 'act', ...at('2026-11-12T12:00:00Z'), action: 'winterize', startBy: BY } as const;
const CALL = { kind: 'last-call', ...at('2026-11-13T19:00:00Z'), action: 'winterize', startBy: BY } as const;
/** The first round after the time to start by. */
const LATE = { kind: 'late', ...at('2026-11-13T22:00:00Z'), action: 'winterize' } as const;
/** The first rounds after 02:18Z in which the past hours show it. */
const FROZEN = { kind: 'frozen', from: '2026-11-14T02:00:00Z', to: '2026-11-14T04:00:00Z' };

async function begin(plot: Partial<Plot> = {}): Promise<Story> {
  const story = await Story.begin({
    from: '2026-11-12T12:00:00Z',
    says: NIGHT,
    people: [ANN, BEN],
    units: [fitting({ contacts: ['ann', 'ben'] })],
    config: { web: WEB },
    ...plot,
  });
  await story.until('2026-11-13T12:00:00Z', { everyHours: 4 });
  return story;
}

it('on my way: no last call, and what is not done by then is late', { timeout: LONG }, async () => {
  const story = await begin({ people: [ANN], units: [fitting()] });
  await story.until('2026-11-13T18:00:00Z');
  // Half an hour before the last call is due.
  const page = await press(story, { mail: lastOf(story, 'act'), words: 'On my way' });
  expect(page.text).toContain('Ann Example is on the way to Blue trailer');
  await story.until('2026-11-14T00:00:00Z');
  await story.mark('winterized', { method: 'antifreeze', by: 'ann' });
  await story.until('2026-11-14T16:00:00Z');
  // Way 40 min, work 90, an hour to spare: 3 h 10 min from 19:00Z. The time to start by is past then.
  const late = { ...LATE, ...at('2026-11-13T23:00:00Z') };
  story.expectHeard([ACT, late, OVER]);
});

it('not mine: the others go on; when nobody is left, check says so', { timeout: LONG }, async () => {
  const story = await begin();
  await press(story, { mail: lastOf(story, 'act', 'ann'), words: 'Not mine to do' });
  expect((await checkNow(story)).answer.units[0]?.nobodyIsTold).toBeUndefined();
  await story.until('2026-11-13T20:00:00Z');
  const page = await press(story, { mail: lastOf(story, 'last-call', 'ben'), words: 'Not mine to do' });
  expect(page.text).toContain('Nobody is told of unit blue any more');
  const { answer } = await checkNow(story);
  expect(answer.units[0]).toMatchObject({ nobodyIsTold: true });
  expect(answer.units[0]?.contactsSaid?.at(-1)).toContain('Nobody is told of unit blue any more');
  await story.until('2026-11-14T16:00:00Z');
  story.expectHeard([ACT, { ...ACT, who: 'ben' }, { ...CALL, who: 'ben' }]);
});

it('stop until a day: silence, but that it may have frozen is heard', { timeout: LONG }, async () => {
  const story = await begin({ people: [ANN], units: [fitting()] });
  const mail = lastOf(story, 'act');
  await press(story, { mail, words: 'Stop telling me' }, { until: '2026-11-20' });
  await story.until('2026-11-15T16:00:00Z');
  story.expectHeard([ACT, FROZEN]);
  expect((await checkNow(story)).answer.units[0]).toMatchObject({ suspect: true });
});

it('a contact added in the middle of it hears what holds, and what follows', { timeout: LONG }, async () => {
  const story = await begin({ people: [ANN], units: [fitting()] });
  await story.until('2026-11-13T15:00:00Z');
  edit<{ people: object[]; units: { contacts: string[] }[] }>(story, (written) => ({
    ...written,
    people: [ANN, BEN],
    units: written.units.map((unit) => ({ ...unit, contacts: ['ann', 'ben'] })),
  }));
  await story.until('2026-11-13T20:00:00Z');
  await story.mark('winterized', { method: 'antifreeze', by: 'ben' });
  await story.until('2026-11-14T16:00:00Z');
  const later = { ...ACT, who: 'ben', ...at('2026-11-13T16:00:00Z') };
  story.expectHeard([ACT, later, CALL, { ...CALL, who: 'ben' }, OVER, { ...OVER, who: 'ben' }]);
  const [own, his] = ['ann', 'ben'].map((who) => lastOf(story, 'act', who).received.mail);
  expect(his?.subject).toBe(own?.subject);
  expect(his?.messageId).not.toBe(own?.messageId);
});
