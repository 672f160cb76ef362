/** The clock of the machine goes wrong in the middle of a story: nobody hears a thing twice, and nothing falls silent. */
import { describe, expect, it } from 'vitest';
import { iso, seconds } from '../support/instants.ts';
import { DAY, HOUR, Story } from '../timelines/story.ts';

const COLD = { from: seconds('2026-11-14T00:00:00Z'), hours: 14 };
const says = (at: number): number => (at >= COLD.from && at < COLD.from + COLD.hours * HOUR ? -6 : 6);

const plot = { from: '2026-11-10T12:17:00Z', says } as const;
const words = (story: Story): string[] =>
  story.heard.map(({ at, kind, action, startBy }) =>
    [iso(at), kind, action, startBy === null ? '-' : iso(startBy)].join(' '),
  );
const kinds = (story: Story): string[] => story.heard.map(({ kind }) => kind);

const END = '2026-11-14T12:00:00Z';
const EVERY = { everyHours: 3 };

let straight: Story;

describe('a clock', { timeout: 120_000 }, () => {
  it('that goes right hears the whole story', async () => {
    straight = await Story.begin(plot);
    await straight.until(END, EVERY);
    // Announced, then with its work as it comes into the window.
    expect(kinds(straight)).toEqual(['heads-up', 'heads-up', 'act', 'last-call', 'late', 'frozen']);
  });

  it('that goes back an hour day after day makes no message come twice or stay away', async () => {
    const jumping = await Story.begin(plot);
    for (const day of [11, 12, 13]) {
      await jumping.until(`2026-11-${day}T21:17:00Z`, EVERY);
      // The next round would be three hours on; it is one hour before the last.
      jumping.now -= 4 * HOUR;
      await jumping.until(iso(jumping.now));
      jumping.now += 3 * HOUR;
    }
    await jumping.until(END, EVERY);
    expect(kinds(jumping), words(jumping).join('\n')).toEqual(kinds(straight));
  });

  it('that is a week ahead for two rounds silences nothing after it, and nothing of that week goes out later', async () => {
    const story = await Story.begin({
      ...plot,
      // The service goes by its own clock, and knows nothing of what lies a week ahead of it.
      isOut: (now) => now >= seconds('2026-11-16T00:00:00Z'),
    });
    await story.until('2026-11-11T12:17:00Z', EVERY);
    const right = story.now;
    const before = story.heard.length;
    story.now += 7 * DAY;
    await story.until(iso(story.now + 3 * HOUR), EVERY);
    const astray = story.heard.length;
    story.now = right;
    await story.until(END, EVERY);
    const said = words(story).join('\n');
    // By that clock the time to start has passed and there is no forecast; each is said once.
    const meanwhile = story.heard.slice(before, astray).map(({ kind }) => kind);
    expect(meanwhile.toSorted(), said).toEqual(['late', 'no-forecast']);
    const told = (heard: Story['heard']) => heard.map(({ at, kind, startBy }) => [iso(at), kind, startBy]);
    expect(told(story.heard.slice(astray)), said).toEqual(told(straight.heard.slice(before)));
  });

  it('that was a week ahead leaves nothing in the outbox that goes out later, or stands in the way of what is true', async () => {
    const next = seconds('2026-11-20T00:00:00Z');
    const story = await Story.begin({
      from: '2026-11-17T18:17:00Z',
      says: (at) => (at >= next && at < next + COLD.hours * HOUR ? -6 : says(at)),
      smtp: { script: [{ at: 'rcpt', code: 451, text: 'come back later' }] },
    });
    await story.until('2026-11-17T18:17:00Z');
    expect(story.heard).toEqual([]);
    story.now -= 7 * DAY + HOUR;
    await story.until('2026-11-13T12:17:00Z', EVERY);
    await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
    await story.until('2026-11-18T18:17:00Z', { everyHours: 6 });
    const said = words(story);
    // What the wrong clock had asked for is held, and presses nobody before this cold is within the window.
    expect(kinds(story), said.join('\n')).toEqual(['heads-up', 'heads-up', 'act', 'all-clear']);
    const [, , act] = story.heard;
    // Once it is nearly sure, and before the day that ends with its time to start by.
    expect(act?.at ?? 0, said.join('\n')).toBeGreaterThanOrEqual(seconds('2026-11-11T00:17:00Z'));
    expect(act?.at ?? Infinity, said.join('\n')).toBeLessThanOrEqual(COLD.from - DAY);
    expect(act?.startBy, said.join('\n')).toBeLessThan(COLD.from);
  });
});
