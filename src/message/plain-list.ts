import type { OutgoingMessage } from './message.ts';

/** One message of many to the same reader: what to do to which unit first, by time to start, then each in full. */
export function plainListMessage(messages: readonly OutgoingMessage[]): OutgoingMessage {
  const sorted = messages.toSorted((a, b) => startOf(a) - startOf(b));
  const [first] = sorted;
  if (first === undefined) throw new RangeError('A list of no messages cannot be sent.');
  const subjects = sorted.map(({ subject }) => subject);
  return {
    messageId: first.messageId,
    kind: first.kind,
    unit: first.unit,
    action: first.action,
    startBy: first.startBy,
    cause: first.cause,
    to: first.to,
    createdAt: first.createdAt,
    subject: `${messages.length} units; first: ${first.subject}`,
    text: [...subjects.map((subject) => `- ${subject}`), '', ...sorted.map(({ text }) => text)].join('\n'),
    html: `<ul>${subjects.map((subject) => `<li>${escaped(subject)}</li>`).join('')}</ul>${sorted.map(({ html }) => html).join('<hr>')}`,
    useBefore: Math.min(...messages.map(({ useBefore }) => useBefore ?? Infinity)),
    ...(first.place === undefined ? {} : { place: first.place }),
  };
}

/** What has no time to start comes last. */
function startOf({ startBy }: OutgoingMessage): number {
  return startBy ?? Infinity;
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
