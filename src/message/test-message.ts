import { formatLocal } from '../quantity/local-time.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { escapeHtml } from './html.ts';
import type { MessageText } from './message.ts';
import { oneLine } from './plain.ts';

/** A message that asks for nothing. */
export function testMessageText(of: {
  readonly name: string;
  readonly timeZone: string;
  readonly now: EpochSeconds;
}): MessageText & { readonly short: string } {
  const sentences = [
    `This is a test message to ${oneLine(of.name)}, sent at ${formatLocal(of.now, of.timeZone)}.`,
    'If you can read it, warnings about freezing units reach you this way. There is nothing to do.',
  ];
  const html = sentences.map((s) => `<p>${escapeHtml(s)}</p>`).join('');
  return {
    subject: 'drainby: test message, nothing to do',
    short:
      'drainby: test message. If you can read it, warnings about freezing units reach you this way. Nothing to do.',
    text: `${sentences.join('\n')}\n`,
    html: `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Test message</title></head><body>${html}</body></html>`,
  };
}
