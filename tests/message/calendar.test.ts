/** The work as a calendar holds it. */
import { describe, expect, it } from 'vitest';
import { MESSAGE_KINDS, type MessageKind, type Notice } from '../../src/decision/memory.ts';
import type { CalendarEntry, UnitFacts } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, EPISODE, facts, notice, reader } from './facts.ts';

function entry(
  kind: MessageKind,
  change: Partial<Notice> = {},
  of: Partial<UnitFacts> = {},
): CalendarEntry | undefined {
  return renderMessage(notice(kind, change), facts({ episode: EPISODE, travelMinutes: 40, ...of }), reader())
    .calendar;
}

describe('the calendar entry', () => {
  it('begins at the time to start by and ends when way and work are done', () => {
    const startBy = at('2026-11-26T22:10:00Z');
    expect(entry('act')).toMatchObject({
      cancelled: false,
      start: startBy,
      end: startBy + 60 * (40 + 45),
      summary: 'Drain Blue trailer',
      location: 'Creek row',
    });
    expect(entry('act')?.description).toMatch(/^Start by Thu 26 Nov, 15:10 \(MST\)\. Very likely/);
  });

  it('comes with work that has a time, and with what ends it, and with nothing else', () => {
    const kinds = MESSAGE_KINDS.filter((kind) => entry(kind) !== undefined);
    expect(kinds).toEqual(['act', 'last-call', 'worse', 'late', 'all-clear', 'fill-again']);
    expect(entry('act', { startBy: null })).toBeUndefined();
    expect(entry('act', { action: 'nothing' })).toBeUndefined();
    expect(entry('all-clear', { forecastBack: true })).toBeUndefined();
    expect(entry('act', {}, { episode: null })).toBeUndefined();
  });

  // RFC 5545, 3.8.4.7 and 3.8.7.4: one entry keeps its UID, and its SEQUENCE rises with every change.
  it('keeps its uid through the episode, rises with each message and is taken back at the end', () => {
    const first = entry('act');
    const later = entry(
      'worse',
      { action: 'winterize', episode: `${EPISODE.id}.2` },
      { asOf: facts().asOf + 3600 },
    );
    for (const kind of ['all-clear', 'fill-again'] as const) {
      const end = entry(kind, { action: 'nothing', startBy: null }, { asOf: facts().asOf + 86_400 });
      expect(new Set([first, later, end].map((one) => one?.uid)).size).toBe(1);
      expect([first, later, end].map((one) => one?.sequence)).toEqual([12_600, 16_200, 99_000]);
      expect([first, later, end].map((one) => one?.cancelled)).toEqual([false, false, true]);
    }
  });

  it('is another one for another person, unit or episode', () => {
    const uid = (id: string, unit: string, since: string): string | undefined => {
      const of = facts({
        episode: { id: `${unit}.${since}`, since: at(since) },
        unit: { id: unit, label: 'X', attended: false },
      });
      return renderMessage(notice('act'), of, reader({ id })).calendar?.uid;
    };
    const since = '2026-11-25T12:00:00Z';
    const all = [uid('ann', 'blue', since), uid('bob', 'blue', since), uid('ann', 'red', since)];
    expect(new Set([...all, uid('ann', 'blue', '2026-12-01T00:00:00Z')]).size).toBe(4);
    expect(all[0]).toMatch(/^[A-Za-z0-9.@-]+$/);
  });

  it('of work that is late begins now', () => {
    expect(entry('late', { startBy: facts().asOf - 7200 })?.start).toBe(facts().asOf);
  });
});
