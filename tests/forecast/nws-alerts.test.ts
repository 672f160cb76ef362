import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseAlerts } from '../../src/forecast/nws/alerts-parse.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import { alertFeature, collection, NOW } from './nws-bodies.ts';

/** Names of the warnings in force. */
function events(...features: unknown[]): string[] {
  return parseAlerts(collection(...features), NOW)!.alerts.map(({ event }) => event);
}

function vtec(...codes: string[]): { parameters: { VTEC: string[] } } {
  return { parameters: { VTEC: codes.map((code) => `/O.${code}.260116T0000Z-260116T1500Z/`) } };
}

const WARNING = 'KOAX.FZ.W.0001';

describe('the recorded alerts', () => {
  // As they were answered; the list itself says "updated" 21:53:46.
  const THEN = seconds('2025-12-15T21:54:00Z');

  itWithShared(
    'NWS-9: name each cold event in force once, and none that was cancelled, replaced or is of snow',
    () => {
      const { alerts, unread } = parseAlerts(recorded(), THEN)!;
      // Two Freeze Watches KTAE.FZ.A.0004 are in the list as well: UPG and CAN, urgency Past, their end yet to come.
      expect(alerts.map(({ event, title }) => `${event} ${title}`)).toEqual([
        'KJAX.FZ.W.0026 Freeze Warning',
        'KTAE.FZ.W.0013 Freeze Warning',
        'KCHS.CW.Y.0007 Cold Weather Advisory',
        'PAJK.CW.Y.0008 Cold Weather Advisory',
      ]);
      expect(unread).toBe(0);
    },
  );

  itWithShared('are quoted in the issuer’s words with their times', () => {
    expect(parseAlerts(recorded(), THEN)!.alerts[0]).toEqual({
      event: 'KJAX.FZ.W.0026',
      title: 'Freeze Warning',
      issuer: 'NWS Jacksonville FL',
      headline:
        'Freeze Warning issued December 15 at 4:43PM EST until December 16 at 9:00AM EST by NWS Jacksonville FL',
      sentAt: seconds('2025-12-15T21:43:00Z'),
      onsetAt: seconds('2025-12-16T00:00:00Z'),
      endsAt: seconds('2025-12-16T14:00:00Z'),
    });
  });

  itWithShared('NWS-9: stand until the end of the cold, also when the text’s own validity has passed', () => {
    // KCHS.CW.Y.0007 expires at 19:45 EST (00:45 UTC), before its onset at 20:00; it ends at 09:00 EST (14:00 UTC).
    const at = (time: string): string[] =>
      parseAlerts(recorded(), seconds(time))!.alerts.map(({ event }) => event);
    expect(at('2025-12-16T02:00:00Z')).toContain('KCHS.CW.Y.0007');
    expect(at('2025-12-16T14:00:00Z')).toEqual(['PAJK.CW.Y.0008']);
    expect(at('2025-12-17T15:00:00Z')).toEqual([]);
  });
});

describe('NWS-9: cold events', () => {
  it.each(['FZ.A', 'FZ.W', 'FR.Y', 'EC.A', 'EC.W', 'CW.Y', 'HZ.A', 'HZ.W', 'WC.A', 'WC.W', 'WC.Y'])(
    'are known by the code %s, whatever they are called',
    (kind) => {
      const feature = alertFeature({ event: 'Renamed Again', ...vtec(`NEW.KOAX.${kind}.0001`) });
      expect(events(feature)).toEqual([`KOAX.${kind}.0001`]);
    },
  );

  it.each([
    'Freeze Watch',
    'freeze warning',
    'FROST ADVISORY',
    'Extreme Cold Watch',
    'Extreme cold warning',
    ' Cold Weather Advisory ',
    'Hard Freeze Watch',
    'Hard Freeze Warning',
    'Wind Chill Watch',
    'Wind Chill Warning',
    'wind chill advisory',
  ])('are known by the name "%s" where there is no code', (event) => {
    expect(events(alertFeature({ event, parameters: {} }))).toEqual(['urn:oid:1']);
    expect(events(alertFeature({ event, parameters: undefined }))).toEqual(['urn:oid:1']);
  });

  it('are none of snow, wind and heat', () => {
    expect(events(alertFeature({ event: 'Winter Storm Warning', ...vtec('NEW.KOAX.WS.W.0001') }))).toEqual(
      [],
    );
    expect(events(alertFeature({ event: 'Heat Advisory', parameters: {} }))).toEqual([]);
  });

  it('among several codes of one text count each', () => {
    const codes = vtec('NEW.KOAX.WS.W.0002', 'CON.KOAX.FZ.W.0001', 'NEW.KOAX.CW.Y.0003');
    expect(events(alertFeature(codes))).toEqual([WARNING, 'KOAX.CW.Y.0003']);
  });
});

describe('NWS-9: an alert that is no longer, or never was', () => {
  it.each([
    ['urgency Past', { urgency: 'Past' }],
    ['action CAN', vtec('CAN.KOAX.FZ.W.0001')],
    ['action EXP', vtec('EXP.KOAX.FZ.W.0001')],
    ['action UPG', vtec('UPG.KOAX.FZ.W.0001')],
    ['type Cancel', { messageType: 'Cancel' }],
    ['a test', { status: 'Test' }],
    ['an exercise', { status: 'Exercise' }],
    ['an end that has passed', { ends: '2026-01-15T12:00:00-06:00' }],
    ['no end and a validity that has passed', { ends: null, expires: '2026-01-15T12:00:00-06:00' }],
  ])('is not shown: %s', (_what, change) => expect(events(alertFeature(change))).toEqual([]));

  it('is not shown when a later text cancels it, and is when an earlier one did', () => {
    const cancel = { id: 'urn:oid:2', ...vtec('CAN.KOAX.FZ.W.0001') };
    expect(events(alertFeature(), alertFeature({ ...cancel, sent: '2026-01-15T10:00:00-06:00' }))).toEqual(
      [],
    );
    expect(events(alertFeature(), alertFeature({ ...cancel, sent: '2026-01-15T08:00:00-06:00' }))).toEqual([
      WARNING,
    ]);
    expect(events(alertFeature(cancel), alertFeature())).toEqual([WARNING]);
  });

  it('is not shown when another refers to it as the one that it replaces', () => {
    const bare = { event: 'Freeze Warning', parameters: {} };
    const update = { ...bare, id: 'urn:oid:2', references: [{ identifier: 'urn:oid:1' }] };
    expect(events(alertFeature(bare), alertFeature(update))).toEqual(['urn:oid:2']);
  });
});

describe('NWS-9: an alert in force', () => {
  it('is shown once, in its newest words', () => {
    const later = { id: 'urn:oid:2', sent: '2026-01-15T11:00:00-06:00', headline: 'Colder still' };
    const { alerts } = parseAlerts(collection(alertFeature(later), alertFeature()), NOW)!;
    expect(alerts.map(({ headline }) => headline)).toEqual(['Colder still']);
  });

  it('without an end ends with its text, and without a headline has none', () => {
    const [alert] = parseAlerts(
      collection(alertFeature({ ends: null, onset: null, headline: null })),
      NOW,
    )!.alerts;
    expect(alert).toMatchObject({ endsAt: seconds('2026-01-16T07:00:00Z'), onsetAt: null, headline: null });
  });

  it('cannot put control characters or endless text into our messages', () => {
    const [alert] = parseAlerts(
      collection(alertFeature({ headline: `a\u001b[31m\r\nb${'x'.repeat(5000)}` })),
      NOW,
    )!.alerts;
    expect(alert!.headline).toMatch(/^a \[31m bx+$/);
    expect(alert!.headline!.length).toBeLessThanOrEqual(300);
  });

  it('stands beside one that cannot be read, which is counted', () => {
    const broken = alertFeature({ sent: 12 });
    expect(parseAlerts(collection(broken, null, alertFeature()), NOW)).toMatchObject({
      alerts: [{ event: WARNING }],
      unread: 2,
    });
    expect(parseAlerts(collection(alertFeature({ sent: 'noon' })), NOW)).toEqual({ alerts: [], unread: 1 });
  });

  it('is nothing in an answer that is no list', () => {
    expect(parseAlerts({ title: 'x' }, NOW)).toBeNull();
    expect(parseAlerts(collection(), NOW)).toEqual({ alerts: [], unread: 0 });
  });
});

function recorded(): unknown {
  return JSON.parse(readFileSync(sharedPath('recordings/nws/alerts/freeze-2025-12-15.json'), 'utf8'));
}
