/**
 * Stories of how a warning gets to people: other ways, other people, other hours. The night is that of contacts.test.ts:
 * at −8 °C from 19:00 MST on Friday 13 November (02:00Z), winterize by 21:30Z to 22:10Z, last call three hours before.
 */
import { expect, it } from 'vitest';
import { parseCalendar } from '../support/icalendar.ts';
import { seconds } from '../support/instants.ts';
import { ANN, CREEK } from '../support/scenario.ts';
import { BEN, checkNow, CLEO, cold, lastOf, textOf } from './people.ts';
import { fitting, Story } from './story.ts';

const LONG = 120_000;
const BY = ['2026-11-13T21:30:00Z', '2026-11-13T22:10:00Z'] as const;
const NIGHT = cold([{ from: '2026-11-14T02:00:00Z', hours: 12, lowC: -8 }]);

const at = (instant: string) => ({ from: instant, to: instant });
const ACT = { kind: 'act', ...at('2026-11-12T12:00:00Z'), action: 'winterize', startBy: BY } as const;
const CALL = { kind: 'last-call', ...at('2026-11-13T19:00:00Z'), action: 'winterize', startBy: BY } as const;
const OVER = { kind: 'all-clear', from: '2026-11-14T12:00:00Z', to: '2026-11-14T18:00:00Z' };

/** Done in the evening, so that only the all-clear is due after it. */
async function doneAndOver(story: Story): Promise<void> {
  await story.mark('winterized', { method: 'antifreeze' });
  await story.until('2026-11-14T16:00:00Z', { everyHours: 2 });
}

it(
  'an owner whose mailbox is gone gets a text; one without another way is named to the manager',
  { timeout: LONG },
  async () => {
    const gone = { code: 550, text: '5.1.1 no such mailbox' };
    const text = { ...ANN, text: 'ann-text@gateway.example.org', channels: ['email', 'text'] };
    const story = await Story.begin({
      from: '2026-11-12T12:00:00Z',
      says: NIGHT,
      people: [text, BEN, CLEO],
      places: [{ ...CREEK, managers: ['cleo'] }],
      units: [fitting(), fitting({ id: 'red', label: 'Red trailer', contacts: ['ben'] })],
      smtp: { refuses: (address) => (/^(ann|ben)@/.test(address) ? gone : null) },
    });
    await story.until('2026-11-12T14:00:00Z');
    const { answer, exit } = await checkNow(story);
    expect(exit).toBe(4);
    expect(answer.delivery?.unreached.map(({ person, unit }) => [person, unit])).toEqual([['ben', 'red']]);
    const list = { who: 'cleo', ...at('2026-11-12T12:00:00Z'), kind: 'list', unit: 'blue,red' };
    const missed = { who: 'cleo', ...at('2026-11-12T13:00:00Z'), kind: 'unreached', unit: 'red' };
    story.expectHeard([{ ...ACT, who: 'ann-text', unit: 'blue' }, list, { ...missed, says: /Ben Example/ }]);
  },
);

it(
  'a mail server that is down for two days does not send yesterday’s deadline',
  { timeout: LONG },
  async () => {
    let clock = '2026-11-12T13:00:00Z';
    const story = await Story.begin({
      from: clock,
      says: (when, now) => {
        clock = new Date(now * 1000).toISOString();
        return NIGHT(when, now);
      },
      smtp: {
        now: () =>
          clock < '2026-11-14T13:00:00Z' ? { at: 'connect', code: 421, text: 'out of service' } : 'accept',
      },
    });
    await story.until('2026-11-13T12:00:00Z', { everyHours: 4 });
    expect((await checkNow(story)).exit).toBe(4);
    await story.until('2026-11-14T12:00:00Z', { everyHours: 2 });
    const { answer, exit } = await checkNow(story);
    expect(exit).toBe(4);
    expect(answer.delivery?.unreached.map(({ person }) => person)).toEqual(['ann']);
    expect(story.heard).toEqual([]);
    await story.until('2026-11-15T16:00:00Z', { everyHours: 2 });
    // The night is past: what is still true is that it may have frozen.
    story.expectHeard([
      { kind: 'frozen', from: '2026-11-14T13:00:00Z', to: '2026-11-14T15:00:00Z', startBy: null },
    ]);
  },
);

it(
  'the manager of a lot gets one list by the time to start by, owners only their own',
  { timeout: LONG },
  async () => {
    const dan = { ...ANN, id: 'dan', name: 'Dan Example', email: 'dan@example.org' };
    const far = (travel: string) => ({ keepWarm: '20 min', drain: '45 min', winterize: '90 min', travel });
    const story = await Story.begin({
      from: '2026-11-12T12:00:00Z',
      says: NIGHT,
      people: [ANN, BEN, CLEO, dan],
      places: [{ ...CREEK, label: 'Gravel lot', managers: ['dan'] }],
      units: [
        fitting({ id: 'a-01', label: 'A-01', contacts: ['ann'], work: far('10 min') }),
        fitting({ id: 'a-02', label: 'A-02', contacts: ['ben'], work: far('90 min') }),
        fitting({ id: 'a-03', label: 'A-03', contacts: ['cleo'], work: far('40 min') }),
        fitting({
          id: 'a-04',
          label: 'A-04',
          contacts: ['cleo'],
          water: { state: 'winterized', method: 'antifreeze' },
        }),
      ],
    });
    await story.until('2026-11-12T20:00:00Z');
    const owner = { kind: 'act', ...at('2026-11-12T12:00:00Z') };
    story.expectHeard([
      { ...owner, who: 'ann', unit: 'a-01' },
      { ...owner, who: 'ben', unit: 'a-02' },
      { ...owner, who: 'cleo', unit: 'a-03' },
      { who: 'dan', kind: 'list', ...at('2026-11-12T12:00:00Z') },
    ]);
    // Who has the longest way starts first.
    const list = lastOf(story, 'list', 'dan');
    expect(list.unit).toBe('a-02,a-03,a-01');
    expect(list.received.mail.subject).toMatch(/^3 units need work, first by Fri 13 Nov, 1\d:\d\d MST: A-02/);
    const text = textOf(list);
    const places = ['A-02', 'A-03', 'A-01'].map((label) => text.lastIndexOf(`${label},`));
    expect(places).toEqual(places.toSorted((a, b) => a - b));
    expect(places.every((place) => place > 0)).toBe(true);
    expect(text).not.toContain('A-04');
  },
);

it(
  'what can wait is told at the end of the quiet hours; a text has what and by when',
  { timeout: LONG },
  async () => {
    // 72 h before the damage at about 02:10Z is 19:10 MST on Tuesday; quiet from 18:00 to 07:00 MST (14:00Z). Two hours
    // earlier it lies beyond the window.
    const ann = { ...ANN, quiet: '18:00-07:00', text: 'ann-text@gateway.example.org' };
    const story = await Story.begin({ from: '2026-11-11T00:00:00Z', says: NIGHT, people: [ann] });
    await story.until('2026-11-13T12:00:00Z', { everyHours: 2 });
    await story.until('2026-11-13T20:00:00Z');
    await doneAndOver(story);
    const morning = at('2026-11-11T14:00:00Z');
    const texted = { who: 'ann-text' };
    const ahead = { kind: 'heads-up', ...at('2026-11-11T00:00:00Z') };
    story.expectHeard([
      ahead,
      { ...ahead, ...texted },
      { ...ACT, ...morning },
      { ...ACT, ...morning, ...texted },
      CALL,
      { ...CALL, ...texted },
      { ...OVER, from: '2026-11-14T14:00:00Z' },
      { ...OVER, from: '2026-11-14T14:00:00Z', ...texted },
    ]);
    const short = (kind: string): string => textOf(lastOf(story, kind, 'ann-text')).trim();
    for (const kind of ['act', 'last-call', 'all-clear']) {
      expect(short(kind).length).toBeLessThanOrEqual(160);
      expect(short(kind)).toMatch(/^[ -~]+$/);
      expect(lastOf(story, kind, 'ann-text').received.mail.subject ?? '').toBe('');
    }
    for (const kind of ['act', 'last-call'])
      expect(short(kind)).toMatch(/[Ww]interize .*by Fri 13 Nov 1[45]:\d\d/);
  },
);

it('quiet hours do not hold back what is due before the next noon', { timeout: LONG }, async () => {
  // First heard of at 21:00 MST on Thursday: the time to start by is 18 h off.
  const says = (when: number, now: number): number | null =>
    now < seconds('2026-11-13T04:00:00Z') ? 6 : NIGHT(when, now);
  const people = [{ ...ANN, quiet: '18:00-07:00' }];
  const story = await Story.begin({ from: '2026-11-13T02:00:00Z', says, people });
  await story.until('2026-11-13T08:00:00Z');
  story.expectHeard([{ ...ACT, ...at('2026-11-13T04:00:00Z') }]);
  // One that can wait would have gone at 14:00Z.
  expect(story.now).toBeLessThan(seconds('2026-11-13T14:00:00Z'));
});

it(
  'free at weekends only: the work is for the Saturday before a cold Monday',
  { timeout: LONG },
  async () => {
    // Cold from Monday 16 November, 19:00 MST; 72 h before it is Friday evening.
    const says = cold([{ from: '2026-11-17T02:00:00Z', hours: 12, lowC: -8 }]);
    const people = [{ ...ANN, free: ['Sa 08:00-18:00'] }];
    const story = await Story.begin({ from: '2026-11-14T00:00:00Z', says, people });
    await story.until('2026-11-14T06:00:00Z');
    // Saturday 14 November, sunset 16:47 MST (23:47Z; from memory): 90 min before it, and the way of 40 min before that.
    const startBy = ['2026-11-14T21:25:00Z', '2026-11-14T21:45:00Z'] as const;
    story.expectHeard([
      { kind: 'heads-up', ...at('2026-11-14T00:00:00Z') },
      { ...ACT, from: '2026-11-14T02:00:00Z', to: '2026-11-14T04:00:00Z', startBy },
    ]);
    expect((await checkNow(story)).answer.units[0]?.advice).toMatchObject({ inFreeHours: true });
  },
);

it(
  'one calendar entry through all of it: told, earlier, and taken back at the end',
  { timeout: LONG },
  async () => {
    // From Thursday 16:00Z on the cold comes seven hours earlier, at noon.
    const earlier = cold([{ from: '2026-11-13T19:00:00Z', hours: 19, lowC: -8 }]);
    const says = (when: number, now: number): number | null =>
      (now < seconds('2026-11-12T16:00:00Z') ? NIGHT : earlier)(when, now);
    const story = await Story.begin({ from: '2026-11-12T12:00:00Z', says });
    await story.until('2026-11-12T16:00:00Z');
    await doneAndOver(story);
    // Seven hours before 21:30Z to 22:10Z, a little after sunrise (13:52Z; from memory).
    const startBy = ['2026-11-13T14:30:00Z', '2026-11-13T15:10:00Z'] as const;
    story.expectHeard([
      ACT,
      { kind: 'worse', ...at('2026-11-12T16:00:00Z'), action: 'winterize', startBy },
      OVER,
    ]);
    const entries = ['act', 'worse', 'all-clear'].map((kind) => entryIn(story, kind));
    const [act, worse, over] = entries;
    expect(new Set(entries.map(({ details }) => details.uid)).size).toBe(1);
    expect(entries.map(({ calendar }) => calendar.getFirstPropertyValue('method'))).toEqual([
      'PUBLISH',
      'PUBLISH',
      'CANCEL',
    ]);
    expect(over?.event.getFirstPropertyValue('status')).toBe('CANCELLED');
    expect(act!.details.sequence).toBeLessThan(worse!.details.sequence);
    expect(worse!.details.sequence).toBeLessThan(over!.details.sequence);
    for (const [entry, kind] of [
      [act, 'act'],
      [worse, 'worse'],
    ] as const)
      expect(entry!.details.startDate.toJSDate().getTime() / 1000).toBe(lastOf(story, kind).startBy);
  },
);

function entryIn(story: Story, kind: string) {
  const { attachments } = lastOf(story, kind).received.mail;
  const file = attachments.find(({ contentType }) => contentType === 'text/calendar');
  if (file === undefined) throw new Error(`no calendar entry in ${kind}`);
  return parseCalendar(file.content.toString('utf8'));
}
