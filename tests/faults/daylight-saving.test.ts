/**
 * The nights in which clocks change in Denver: back on 2026-11-01 at 08:00Z, forward on 2027-03-14 at 09:00Z (IANA time zone
 * database). Local times are checked against `Intl`, which the program does not use for them.
 */
import { describe, expect, it } from 'vitest';
import { iso, seconds } from '../support/instants.ts';
import { ANN, CREEK } from '../support/scenario.ts';
import { HOUR, Story, fitting, type Heard } from '../timelines/story.ts';

const MAX = { ...ANN, id: 'max', name: 'Max Example', email: 'max@example.org', quiet: '21:00-07:00' };
const PLACES = [{ ...CREEK, managers: ['max'] }];
const UNITS = [fitting(), fitting({ id: 'red', label: 'Red trailer' })];

function coldFrom(begin: string, hours: number) {
  const from = seconds(begin);
  return (at: number): number => (at >= from && at < from + hours * HOUR ? -8 : 6);
}

/** Such as `Sun 1 Nov, 13:22 MST`. */
function localOf(instant: number): string {
  const parts = new Intl.DateTimeFormat('en-US', {
    timeZone: 'America/Denver',
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
    timeZoneName: 'short',
  }).formatToParts(new Date(instant * 1000));
  const of = (type: string): string => parts.find((part) => part.type === type)?.value ?? '';
  return `${of('weekday')} ${of('day')} ${of('month')}, ${of('hour')}:${of('minute')} ${of('timeZoneName')}`;
}

const whens = (heard: readonly Heard[]): string[] =>
  heard.map(({ at, to, kind }) => `${iso(at)} ${to} ${kind}`);

describe('the night in which clocks change', { timeout: 120_000 }, () => {
  it.each([
    ['back', '2026-11-01T05:17:00Z', '2026-11-04T20:00:00Z', '2026-11-01T14:17:00Z'],
    ['forward', '2027-03-14T05:17:00Z', '2027-03-17T20:00:00Z', '2027-03-14T13:17:00Z'],
  ])('%s: what can wait waits until seven by the new clock', async (_way, from, cold, seven) => {
    const says = coldFrom(cold, 14);
    const story = await Story.begin({ from, says, places: PLACES, units: UNITS, people: [ANN, MAX] });
    await story.until(iso(seconds(seven) + HOUR));
    expect(whens(story.heard.filter(({ to }) => to === 'ann'))).toEqual([
      `${iso(seconds(from))} ann heads-up`,
      `${iso(seconds(from))} ann heads-up`,
    ]);
    const toMax = story.heard.filter(({ to }) => to === 'max');
    expect(toMax.length).toBeGreaterThan(0);
    for (const { at } of toMax) expect(iso(at)).toBe(iso(seconds(seven)));
  });

  it.each([
    ['back', '2026-10-31T18:17:00Z', '2026-11-01T22:00:00Z', 'MDT', 'MST'],
    ['forward', '2027-03-13T18:17:00Z', '2027-03-14T22:00:00Z', 'MST', 'MDT'],
  ])(
    '%s: the time to start is shown by the clock that it falls under',
    async (_way, from, cold, old, fresh) => {
      const says = coldFrom(cold, 14);
      const story = await Story.begin({ from, says, places: PLACES, units: UNITS, people: [ANN, MAX] });
      await story.until(from);
      expect(localOf(seconds(from))).toMatch(new RegExp(` ${old}$`));
      const toAnn = story.heard.filter(({ to }) => to === 'ann');
      expect(toAnn.map(({ kind }) => kind)).toEqual(['act', 'act']);
      for (const { startBy, received } of toAnn) {
        expect(startBy).not.toBeNull();
        const shown = localOf(startBy!);
        expect(shown).toMatch(new RegExp(` ${fresh}$`));
        expect(received.mail.subject).toContain(shown);
        const text = received.mail.text?.replace(/\s+/g, ' ') ?? '';
        expect(text).toContain(`Start by ${shown.replace(/ (M.T)$/, ' ($1)')}`);
      }
      const [list] = story.heard.filter(({ to }) => to === 'max');
      const first = Math.min(...toAnn.map(({ startBy }) => startBy ?? Infinity));
      expect(list?.received.mail.subject).toContain(localOf(first));
    },
  );
});
