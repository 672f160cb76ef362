import type { OutgoingMessage } from '../message/message.ts';
import type { Channel } from './channel.ts';
import { plainLine, plainText } from './plain-line.ts';

/** Hands the text of each message to `write`, in one piece. */
export function openConsole(write: (text: string) => void): Channel {
  return {
    id: 'console',
    async send(message) {
      write(asText(message));
    },
    async close() {
      // Nothing is held.
    },
  };
}

function asText({ to, subject, text }: OutgoingMessage): string {
  const head = `To: ${plainLine(to.name)}\nSubject: ${plainLine(subject)}`;
  return `${head}\n\n${plainText(text).trimEnd()}\n\n`;
}
