/** A calendar entry as iCalendar: RFC 5545, and RFC 5546 for what it asks of the reader's calendar. */
import ical, { ICalAlarmType, ICalCalendarMethod, ICalEventStatus } from 'ical-generator';
import type { CalendarEntry } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Address } from './address.ts';
import { plainLine, plainText } from './plain-line.ts';

export interface CalendarFile {
  /** Nobody is invited and nobody answers: RFC 5546, 3.2.1; taken back as in 4.1.3. */
  readonly method: 'PUBLISH' | 'CANCEL';
  readonly content: string;
}

/** What the entry needs beyond itself. */
export interface CalendarSource {
  /** When the message was made, not when it is sent: every attempt has the same bytes. */
  readonly createdAt: EpochSeconds;
  /** A published entry must have one, and no attendees (RFC 5546, 3.2.1). */
  readonly organizer: Address;
}

/** Before the work is to start. Common practice, no source. */
const ALARM_S = 3600;

/** Times are in UTC: a calendar shows them in its reader's own zone. */
export function calendarFile(entry: CalendarEntry, { createdAt, organizer }: CalendarSource): CalendarFile {
  const method = entry.cancelled ? ICalCalendarMethod.CANCEL : ICalCalendarMethod.PUBLISH;
  const calendar = ical({ method, prodId: { company: 'drainby', product: 'drainby', language: 'EN' } });
  const summary = plainLine(entry.summary);
  const event = calendar.createEvent({
    id: plainLine(entry.uid),
    sequence: entry.sequence,
    stamp: toDate(createdAt),
    start: toDate(entry.start),
    // It must be later than the start (RFC 5545, 3.8.2.2).
    end: toDate(Math.max(entry.end, entry.start + 60)),
    summary,
    description: plainText(entry.description),
    location: plainLine(entry.location),
    // A parameter's value can hold no double quote (RFC 5545, 3.1).
    organizer: { name: organizer.name.replaceAll('"', "'") || organizer.address, email: organizer.address },
    // In a grammar that wants properties before alarms the library writes this one last.
    ...(entry.cancelled ? { status: ICalEventStatus.CANCELLED } : {}),
  });
  if (!entry.cancelled) {
    event.createAlarm({ type: ICalAlarmType.display, trigger: ALARM_S, description: summary });
  }
  // Every line ends with CRLF, the last one too (RFC 5545, 3.1).
  return { method: entry.cancelled ? 'CANCEL' : 'PUBLISH', content: `${calendar.toString()}\r\n` };
}

/** iCalendar knows whole seconds. */
function toDate(at: EpochSeconds): Date {
  return new Date(Math.floor(at) * 1000);
}
