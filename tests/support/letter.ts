import type { OutgoingMessage } from '../../src/message/message.ts';
import type { OutboxEntry } from '../../src/store/store.ts';

/** 2026-11-25T08:30:00Z. */
export const NOW = 1_795_595_400;

/** A message with everything in it, and what a test cares about put over it. */
export function letter(over: Partial<OutgoingMessage> = {}): OutgoingMessage {
  return {
    messageId: '<blue.act.ann@drainby.example.org>',
    kind: 'act',
    unit: 'blue',
    action: 'drain',
    startBy: NOW + 7200,
    cause: 'cold-ahead',
    to: { id: 'ann', name: 'Ann Example', email: 'ann@example.org' },
    createdAt: NOW,
    subject: 'Drain Blue trailer: start by 10:30',
    text: 'Hard cold comes tonight: −9 °C.\n\nStart by 10:30.\n',
    html: '<p>Hard cold comes tonight: −9&nbsp;°C.</p><p>Start by 10:30.</p>',
    ...over,
  };
}

/** An outbox entry that may go at once and is of use for a day. */
export function entry(over: Partial<OutboxEntry> = {}): OutboxEntry {
  return {
    episode: 'blue-1',
    channel: 'email',
    notBefore: NOW,
    useBefore: NOW + 86_400,
    message: letter(),
    ...over,
  };
}
