import { parseInstant, type EpochSeconds } from '../../quantity/instant.ts';
import type { Alert } from '../../weather/alert.ts';
import { printable } from '../printable.ts';
import { alertWire, collectionWire, type AlertWire } from './wire.ts';

/**
 * Cold products by the phenomenon and significance of their VTEC code (NWS Directive 10-1703), and by name. The hard
 * freeze and wind chill ones were replaced on 1 October 2024 (Service Change Notice 23-44) and still occur in stored
 * and test data.
 */
const COLD_CODES = new Set('FZ.A FZ.W FR.Y EC.A EC.W CW.Y HZ.A HZ.W WC.A WC.W WC.Y'.split(' '));
const COLD_NAMES = new Set([
  'freeze watch',
  'freeze warning',
  'frost advisory',
  'extreme cold watch',
  'extreme cold warning',
  'cold weather advisory',
  'hard freeze watch',
  'hard freeze warning',
  'wind chill watch',
  'wind chill warning',
  'wind chill advisory',
]);

/** `/O.NEW.KTAE.FZ.W.0013.251216T0600Z-251216T1400Z/`: class, action, office, phenomenon, significance, number. */
const VTEC = /^\/[A-Z]\.([A-Z]{3})\.([A-Z0-9]{4})\.([A-Z]{2})\.([A-Z])\.(\d{4})\./;

/** Cancelled, expired, or replaced by another event. */
const ENDED_ACTIONS = new Set(['CAN', 'EXP', 'UPG']);

const HEADLINE_LENGTH = 300;

export interface Alerts {
  readonly alerts: readonly Alert[];
  /** Entries that could not be read, and may have been warnings of cold. */
  readonly unread: number;
}

/** The warnings of cold in force, each once, in the order of the answer; null for another shape. */
export function parseAlerts(value: unknown, now: EpochSeconds): Alerts | null {
  const collection = collectionWire.safeParse(value);
  if (!collection.success) return null;
  const read = collection.data.features.map((feature) => alertWire.safeParse(feature));
  const found = read.map((wire) => (wire.success ? entriesOf(wire.data.properties) : null));
  const entries = found.flatMap((some) => some ?? []);
  const replaced = new Set(entries.flatMap(({ wire }) => (wire.references ?? []).map((r) => r.identifier)));
  const newest = new Map<string, Entry>();
  for (const entry of entries) {
    if (replaced.has(entry.wire.id)) continue;
    const before = newest.get(entry.alert.event);
    if (before === undefined || isNewer(entry, before, now)) newest.set(entry.alert.event, entry);
  }
  const alerts = [...newest.values()].filter((entry) => inForce(entry, now)).map(({ alert }) => alert);
  return { alerts, unread: found.filter((some) => some === null).length };
}

interface Entry {
  readonly wire: AlertWire;
  readonly alert: Alert;
  /** What the product does to its event; null without a code. */
  readonly action: string | null;
}

/** One product may carry codes of several events; those of cold count, each by itself. Null without a time. */
function entriesOf(wire: AlertWire): readonly Entry[] | null {
  const codes = (wire.parameters?.VTEC ?? []).flatMap((text) => {
    const match = VTEC.exec(text.trim());
    if (match === null) return [];
    const [, action = '', office = '', phenomenon = '', significance = '', number = ''] = match;
    return [
      {
        action,
        kind: `${phenomenon}.${significance}`,
        event: `${office}.${phenomenon}.${significance}.${number}`,
      },
    ];
  });
  const cold = codes.filter(({ kind }) => COLD_CODES.has(kind));
  const named = cold.length === 0 && COLD_NAMES.has(wire.event.trim().toLowerCase());
  const events = named ? [{ action: null, event: wire.id }] : cold;
  const sentAt = parseInstant(wire.sent);
  if (sentAt === null) return null;
  return events.map(({ action, event }) => ({ wire, action, alert: alertOf(wire, event, sentAt) }));
}

function alertOf(wire: AlertWire, event: string, sentAt: EpochSeconds): Alert {
  const headline = wire.headline ?? null;
  return {
    event: printable(event, HEADLINE_LENGTH),
    title: printable(wire.event, HEADLINE_LENGTH),
    issuer: printable(wire.senderName ?? 'US National Weather Service', HEADLINE_LENGTH),
    headline: headline === null ? null : printable(headline, HEADLINE_LENGTH),
    sentAt,
    onsetAt: instantOrNull(wire.onset),
    endsAt: instantOrNull(wire.ends) ?? instantOrNull(wire.expires),
  };
}

/** Of texts sent at once for different areas the one in force counts. */
function isNewer(entry: Entry, before: Entry, now: EpochSeconds): boolean {
  const later = entry.alert.sentAt - before.alert.sentAt;
  return later > 0 || (later === 0 && inForce(entry, now) && !inForce(before, now));
}

/**
 * What was cancelled or replaced stays in the answer for hours, with an end yet to come. A text whose own validity has
 * passed counts until the end of what it warns of.
 */
function inForce({ wire, action, alert }: Entry, now: EpochSeconds): boolean {
  if (wire.status.toLowerCase() !== 'actual' || wire.messageType.toLowerCase() === 'cancel') return false;
  if (wire.urgency?.toLowerCase() === 'past') return false;
  if (action !== null && ENDED_ACTIONS.has(action)) return false;
  return alert.endsAt === null || alert.endsAt > now;
}

function instantOrNull(text: string | null | undefined): EpochSeconds | null {
  return text === null || text === undefined ? null : parseInstant(text);
}
