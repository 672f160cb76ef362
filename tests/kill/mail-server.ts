/** A real mail server that can stop at any step of a conversation, and keeps what arrived byte by byte. */
import { once } from 'node:events';
import type { AddressInfo, Socket } from 'node:net';
import { SMTPServer } from 'smtp-server';
import type { SMTPServerDataStream, SMTPServerSession } from 'smtp-server';

export const STEPS = ['greeting', 'mail', 'rcpt', 'data', 'dot', 'taken'] as const;
/** `data`: the message is asked for; `dot`: it is there in full; `taken`: the server has said so. */
export type Step = (typeof STEPS)[number];

/** One copy of a message that reached the server in full. */
export interface Copy {
  readonly id: string;
  readonly to: string;
  readonly raw: string;
}

export interface MailServer {
  readonly port: number;
  /** All that arrived, whether or not the sender lived to hear of it. */
  readonly copies: readonly Copy[];
  /** Resolves when so many copies have arrived in all. */
  until(count: number): Promise<void>;
  /** Called at every step; true: the server falls silent in this conversation. Null: it never does. */
  watch(onStep: ((step: Step) => boolean) | null): void;
  /** Resolves when no conversation is open. */
  idle(): Promise<void>;
  /** As if nothing had been sent. */
  forget(): void;
  close(): Promise<void>;
}

export interface MailRules {
  /** Addresses that are refused for good. */
  readonly refused: readonly string[];
  /** Addresses to which every message is put off once. */
  readonly putOff: readonly string[];
  /** How many messages it takes whole before it hangs up in place of an answer; default: none. */
  readonly hangsUp?: number;
}

type Answer = (error?: Error | null) => void;

const refusal = (code: number, text: string): Error => Object.assign(new Error(text), { responseCode: code });

export async function startMailServer({ refused, putOff, hangsUp = 0 }: MailRules): Promise<MailServer> {
  const copies: Copy[] = [];
  const knocked = new Set<string>();
  const sockets = new Set<Socket>();
  let onStep: ((step: Step) => boolean) | null = null;
  let onIdle: (() => void)[] = [];
  const onCount = new Map<number, () => void>();
  const isSilent = (step: Step): boolean => onStep?.(step) ?? false;
  const answerAt = (step: Step, answer: Answer, error: Error | null = null): void => {
    if (!isSilent(step)) answer(error);
  };

  const receive = async (
    stream: SMTPServerDataStream,
    { envelope, remotePort }: SMTPServerSession,
    answer: Answer,
  ): Promise<void> => {
    if (isSilent('data')) return;
    const raw = await textOf(stream);
    // A conversation that breaks off within the message is closed without its last line.
    if (raw === null) return;
    const to = envelope.rcptTo.map(({ address }) => address).join(',');
    const id = /^message-id:\s*(<[^>]+>)/im.exec(raw)?.[1] ?? 'none';
    const knock = `${id} ${to}`;
    const isPutOff = putOff.includes(to) && !knocked.has(knock);
    knocked.add(knock);
    if (!isPutOff) {
      copies.push({ id, to, raw });
      onCount.get(copies.length)?.();
    }
    if (isSilent('dot')) return;
    if (copies.length <= hangsUp) {
      for (const socket of sockets) if (socket.remotePort === remotePort) socket.destroy();
      return;
    }
    answer(isPutOff ? refusal(451, 'try again later') : null);
    if (!isPutOff) isSilent('taken');
  };

  const server = new SMTPServer({
    disabledCommands: ['AUTH', 'STARTTLS'],
    disableReverseLookup: true,
    logger: false,
    onConnect: (_session, answer) => answerAt('greeting', answer),
    onMailFrom: (_address, _session, answer) => answerAt('mail', answer),
    onRcptTo: ({ address }, _session, answer) =>
      answerAt('rcpt', answer, refused.includes(address) ? refusal(550, 'no such mailbox') : null),
    onData: (stream, session, answer) => void receive(stream, session, answer).catch(answer),
  });
  server.on('error', () => {
    // Senders that are killed are what this is about.
  });
  server.server.on('connection', (socket: Socket) => {
    sockets.add(socket);
    socket.once('close', () => {
      sockets.delete(socket);
      if (sockets.size > 0) return;
      for (const done of onIdle) done();
      onIdle = [];
    });
  });
  const listening = server.listen(0, '127.0.0.1');
  await once(listening, 'listening');
  return {
    port: (listening.address() as AddressInfo).port,
    copies,
    until: (count) =>
      copies.length >= count
        ? Promise.resolve()
        : new Promise((resolve) => {
            onCount.set(count, resolve);
          }),
    watch: (watcher) => {
      onStep = watcher;
    },
    idle: () =>
      sockets.size === 0
        ? Promise.resolve()
        : new Promise((resolve) => {
            onIdle.push(resolve);
          }),
    forget: () => {
      copies.splice(0);
      knocked.clear();
    },
    async close() {
      const closed = once(listening, 'close');
      server.close();
      for (const socket of sockets) socket.destroy();
      await closed;
    },
  };
}

/** Null: the sender went away before the end. */
async function textOf(stream: SMTPServerDataStream): Promise<string | null> {
  const chunks: Buffer[] = [];
  try {
    for await (const chunk of stream) chunks.push(chunk as Buffer);
  } catch {
    return null;
  }
  return Buffer.concat(chunks).toString('utf8');
}
