/** iCalendar as RFC 5545 (format), RFC 5546 (what it asks of a calendar) want it; read by an independent parser. */
import { describe, expect, it } from 'vitest';
import { calendarFile } from '../../src/delivery/calendar-file.ts';
import type { CalendarEntry } from '../../src/message/message.ts';
import { parseCalendar } from '../support/icalendar.ts';
import { NOW } from '../support/letter.ts';

const ORGANIZER = { name: 'Drain "watch", east', address: 'drainby@example.org' };

function calendarEntry(over: Partial<CalendarEntry> = {}): CalendarEntry {
  return {
    uid: 'blue-1.ann@drainby.example.org',
    sequence: 3,
    cancelled: false,
    start: NOW + 7200,
    end: NOW + 7200 + 45 * 60,
    summary: 'Drain Blue trailer; −9 °C, row 3\\b',
    description:
      'Faucets open.\nHeater off, and cold: 山田山田山田山田山田山田山田山田山田山田山田山田山田山田山田.',
    location: 'Creek row, pad 7',
    ...over,
  };
}

function made(over: Partial<CalendarEntry> = {}) {
  return calendarFile(calendarEntry(over), { createdAt: NOW + 0.7, organizer: ORGANIZER });
}

describe('a calendar entry', () => {
  it('says when, what and where, and nothing is lost in between', () => {
    const { details: parsed } = parseCalendar(made().content);
    const { uid, summary, description, location } = calendarEntry();
    expect(parsed).toMatchObject({ uid, summary, description, location, sequence: 3 });
    expect(parsed.startDate.toJSDate().toISOString()).toBe('2026-11-25T10:30:00.000Z');
    expect(parsed.endDate.toJSDate().toISOString()).toBe('2026-11-25T11:15:00.000Z');
    expect(parsed.startDate.zone.tzid).toBe('UTC');
  });

  it('has lines of at most 75 octets, each ended by CRLF, no character split (RFC 5545, 3.1)', () => {
    const { content } = made();
    const lines = content.split('\r\n');
    expect(lines.pop()).toBe('');
    expect(lines.filter((line) => /[\r\n]/.test(line))).toEqual([]);
    expect(lines.map((line) => Buffer.byteLength(line)).filter((octets) => octets > 75)).toEqual([]);
    expect(lines.some((line) => line.startsWith(' '))).toBe(true);
    expect(content).not.toContain('\uFFFD');
  });

  it('has every property that must be there, once, and those before the alarm (RFC 5545, 3.6.1)', () => {
    const lines = made().content.split('\r\n');
    for (const name of [
      'PRODID',
      'VERSION',
      'METHOD',
      'UID',
      'DTSTAMP',
      'DTSTART',
      'DTEND',
      'SEQUENCE',
      'ORGANIZER',
    ]) {
      expect(
        lines.filter((line) => new RegExp(`^${name}[:;]`).test(line)),
        name,
      ).toHaveLength(1);
    }
    expect(lines[lines.indexOf('END:VALARM') + 1]).toBe('END:VEVENT');
    expect(lines).toContain('VERSION:2.0');
  });

  it('is published: an organizer, nobody invited (RFC 5546, 3.2.1)', () => {
    const { method, content } = made();
    const { calendar, event: found } = parseCalendar(content);
    expect(method).toBe('PUBLISH');
    expect(calendar.getFirstPropertyValue('method')).toBe('PUBLISH');
    expect(found.getFirstPropertyValue('organizer')).toBe('mailto:drainby@example.org');
    expect(found.getFirstProperty('organizer')?.getParameter('cn')).toBe("Drain 'watch', east");
    expect(found.getFirstProperty('attendee')).toBeNull();
    expect(found.getFirstSubcomponent('valarm')?.getFirstPropertyValue('action')).toBe('DISPLAY');
  });

  it('is taken back under the same UID, with a status and without an alarm (RFC 5546, 4.1.3)', () => {
    const { method, content } = made({ cancelled: true, sequence: 4 });
    const { calendar, event: found } = parseCalendar(content);
    expect(method).toBe('CANCEL');
    expect(calendar.getFirstPropertyValue('method')).toBe('CANCEL');
    expect(found.getFirstPropertyValue('status')).toBe('CANCELLED');
    expect(found.getFirstPropertyValue('uid')).toBe(calendarEntry().uid);
    expect(found.getFirstPropertyValue('sequence')).toBe(4);
    expect(found.getFirstSubcomponent('valarm')).toBeNull();
  });

  it('is dated by its message, so that every attempt has the same bytes', () => {
    expect(made().content).toContain('\r\nDTSTAMP:20261125T083000Z\r\n');
    expect(made().content).toBe(made().content);
  });

  it('ends after it starts, whatever it is given (RFC 5545, 3.8.2.2)', () => {
    const { startDate, endDate } = parseCalendar(made({ end: NOW }).content).details;
    expect(endDate.compare(startDate)).toBe(1);
  });

  it('cannot be made to hold another property', () => {
    const evil = 'x\r\nATTENDEE:mailto:thief@example.net\u2028ATTENDEE:y';
    const { event: found } = parseCalendar(
      made({ uid: evil, summary: evil, description: evil, location: evil }).content,
    );
    expect(found.getFirstProperty('attendee')).toBeNull();
  });
});
