/** The one rule of what is fresh, and of what stands still. */
import { describe, expect, it } from 'vitest';
import { staleness } from '../../src/app/freshness.ts';
import { Pulse } from '../../src/app/pulse.ts';
import { dueBefore } from '../../src/config/cron.ts';
import { iso, seconds } from '../support/instants.ts';

const NOW = seconds('2026-11-25T12:40:00Z');
const MOVING = { overdue: 0, stuck: 0, lost: 0, unsure: 0 };
const HOURLY = '17 * * * *';

function reasons(
  finished: string | null,
  over: { schedule?: string; placesWithout?: number; outbox?: object; damaged?: number } = {},
) {
  const { schedule = HOURLY, placesWithout = 0, outbox = {}, damaged = 0 } = over;
  const lastRound = finished === null ? null : { finishedAt: seconds(finished), placesWithout };
  return staleness({ lastRound, schedule, outbox: { ...MOVING, ...outbox }, damaged }, NOW).join(' ');
}

describe('what is fresh', () => {
  it.each([
    ['just now', '2026-11-25T12:18:00Z', HOURLY, /^$/],
    ['one round ago', '2026-11-25T11:18:00Z', HOURLY, /^$/],
    ['before the last two', '2026-11-25T11:16:59Z', HOURLY, /Two rounds were missed/],
    ['eleven hours ago, twice a day', '2026-11-25T01:40:00Z', '0 */12 * * *', /^$/],
    ['a day and more ago, twice a day', '2026-11-24T11:59:00Z', '0 */12 * * *', /Two rounds were missed/],
    ['half an hour ahead', '2026-11-25T13:10:00Z', HOURLY, /^$/],
    ['two hours ahead', '2026-11-25T14:40:00Z', HOURLY, /yet to come/],
  ])('follows the schedule: a round %s', (_, finished, schedule, expected) => {
    expect(reasons(finished, { schedule })).toMatch(expected);
  });

  it('is nothing before the first round, nor where a place or the mail is wanting', () => {
    const round = '2026-11-25T12:18:00Z';
    expect(reasons(null)).toBe('No round has finished yet.');
    expect(reasons(round, { placesWithout: 2 })).toBe('The last round had no forecast for 2 places.');
    expect(reasons(round, { outbox: { overdue: 1 } })).toContain('nobody has taken it up');
    expect(reasons(round, { outbox: { stuck: 1 } })).toContain('1 message cannot be handed over');
    expect(reasons(round, { outbox: { unsure: 1 } })).toBe(
      '1 message may not have arrived: no server has said whether it took it.',
    );
    expect(reasons(round, { damaged: 1 })).toBe(
      'What the database holds of 1 unit is damaged, and no warning can come of it.',
    );
    expect(reasons(round, { outbox: { lost: 3 } })).toContain('3 messages of the last day reached nobody');
  });
});

describe('when a schedule was due', () => {
  it.each([
    ['17 * * * *', 1, '2026-11-25T12:17:00Z'],
    ['17 * * * *', 2, '2026-11-25T11:17:00Z'],
    ['*/20 6-8 * * *', 2, '2026-11-25T08:20:00Z'],
    // 2026-11-25 is a Wednesday.
    ['0 5 * * mon', 1, '2026-11-23T05:00:00Z'],
    ['0 5 * * 7', 1, '2026-11-22T05:00:00Z'],
    ['0 5 1,15 * *', 2, '2026-11-01T05:00:00Z'],
  ])('%s, %i back', (expression, count, expected) => {
    const found = dueBefore(expression, NOW, count);
    expect(found === null ? null : iso(found)).toBe(expected);
  });

  it('is before the instant asked, and not known beyond two months', () => {
    expect(iso(dueBefore(HOURLY, seconds('2026-11-25T12:17:00Z'), 1) ?? 0)).toBe('2026-11-25T11:17:00Z');
    expect(dueBefore('0 5 1 1 *', NOW, 1)).toBeNull();
  });
});

describe('a pulse', () => {
  function started() {
    let elapsed = 0;
    let clock = NOW;
    const pulse = new Pulse({ now: () => clock, elapsedMs: () => elapsed * 1000 });
    return {
      pulse,
      pass: (s: number): void => {
        elapsed += s;
        clock += s;
      },
      setClock: (at: number): void => {
        clock = at;
      },
      still: () => pulse.standstill({ schedule: HOURLY, leaseSeconds: 900 }),
    };
  }

  it('moves while rounds begin and end, well or not, and the outbox looks', () => {
    const run = started();
    for (let hour = 0; hour < 5; hour++) {
      run.pulse.roundBegan();
      run.pulse.roundEnded();
      run.pass(3600);
      run.pulse.outboxClock();
      expect(run.still()).toBeNull();
    }
  });

  it('stops where a round does not end, none begins, or the outbox does not look', () => {
    const stuck = started();
    stuck.pulse.roundBegan();
    stuck.pass(1801);
    stuck.pulse.outboxClock();
    expect(stuck.still()).toBe('A round does not end.');
    const idle = started();
    idle.pass(3 * 3600);
    idle.pulse.outboxClock();
    expect(idle.still()).toBe('No round begins.');
    const mute = started();
    mute.pass(1201);
    expect(mute.still()).toBe('The outbox stands still.');
  });

  it('is not stopped by a clock that is set, from 1970 or back', () => {
    const run = started();
    run.setClock(1000);
    expect(run.still()).toBeNull();
    run.setClock(NOW + 400 * 86_400);
    expect(run.still()).toBeNull();
  });
});
