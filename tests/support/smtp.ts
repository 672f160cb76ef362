import { once } from 'node:events';
import type { AddressInfo, Socket } from 'node:net';
import { setTimeout } from 'node:timers/promises';
import { simpleParser } from 'mailparser';
import type { ParsedMail } from 'mailparser';
import { SMTPServer } from 'smtp-server';
import type { SMTPServerDataStream, SMTPServerSession } from 'smtp-server';

/** What the server does with one connection. `stall-…` takes what comes and never answers. */
export type SmtpStep =
  | 'accept'
  | 'stall-greeting'
  | 'stall-rcpt'
  | 'stall-data'
  /** Takes the message, and says so only after a while. */
  | { readonly at: 'verdict'; readonly afterMs: number }
  | { readonly at: 'connect' | 'mail' | 'rcpt' | 'data'; readonly code: number; readonly text: string };

interface Login {
  readonly user: string;
  readonly password: string;
}

export interface SmtpOptions {
  /** The only login that is let in; absent: none is asked for. */
  readonly auth?: Login;
  /** What it says to any other login. */
  readonly refusesLogin?: (tried: Login) => { readonly code: number; readonly text: string };
  /** Default `none`. The certificate is the one that smtp-server brings, signed by nobody. */
  readonly tls?: 'none' | 'starttls' | 'tls';
  /** One step for each connection in the order they come; afterwards everything is accepted. */
  readonly script?: readonly SmtpStep[];
  /** What it does with a connection that is begun now, in place of the script. */
  readonly now?: () => SmtpStep;
  /** The answer to an address that it does not take; null: it does. */
  readonly refuses?: (address: string) => { readonly code: number; readonly text: string } | null;
}

export interface ReceivedMail {
  readonly mail: ParsedMail;
  readonly raw: string;
  readonly from: string;
  readonly to: readonly string[];
  readonly secure: boolean;
  readonly user: string | null;
}

export interface SmtpServer {
  readonly port: number;
  /** All that was accepted, in order. */
  readonly messages: readonly ReceivedMail[];
  /** The next message that no earlier `next()` has given. */
  next(): Promise<ReceivedMail>;
  /** Resolves when a connection has come to a step that stalls; with the mail where it was sent in full. */
  stalled(): Promise<ReceivedMail | null>;
  /** Resolves when a message is there in full whose verdict takes a while. */
  asked(): Promise<void>;
  /** How many connections were begun. */
  connections(): number;
  close(): Promise<void>;
}

/** A real SMTP server on a free port of the loopback address. */
export async function startSmtp(options: SmtpOptions = {}): Promise<SmtpServer> {
  const accepted = createQueue<ReceivedMail>();
  const stalled = createQueue<ReceivedMail | null>();
  const asked = createQueue<void>();
  const sockets = new Set<Socket>();
  const steps = new WeakMap<SMTPServerSession, SmtpStep>();
  let connections = 0;

  const refusal = (session: SMTPServerSession, at: string): Error | null => {
    const step = steps.get(session);
    if (typeof step !== 'object' || step.at === 'verdict' || step.at !== at) return null;
    return Object.assign(new Error(step.text), { responseCode: step.code });
  };
  const server = new SMTPServer({
    ...serverOptions(options),
    onConnect(session, callback) {
      const step = options.now?.() ?? options.script?.[connections] ?? 'accept';
      steps.set(session, step);
      connections += 1;
      if (step === 'stall-greeting') stalled.put(null);
      else callback(refusal(session, 'connect'));
    },
    onAuth({ username, password }, _session, callback) {
      const fits = username === options.auth?.user && password === options.auth?.password;
      const refused = options.refusesLogin?.({ user: username ?? '', password: password ?? '' });
      const { code, text } = refused ?? { code: 535, text: 'no such login' };
      callback(fits ? null : Object.assign(new Error(text), { responseCode: code }), { user: username });
    },
    onMailFrom(_address, session, callback) {
      callback(refusal(session, 'mail'));
    },
    onRcptTo({ address }, session, callback) {
      const refused = options.refuses?.(address) ?? null;
      if (steps.get(session) === 'stall-rcpt') stalled.put(null);
      else if (refused === null) callback(refusal(session, 'rcpt'));
      else callback(Object.assign(new Error(refused.text), { responseCode: refused.code }));
    },
    onData(stream, session, callback) {
      const receive = async (): Promise<Error | null | 'silence'> => {
        const received = await readMail(stream, session);
        if (steps.get(session) === 'stall-data') {
          stalled.put(received);
          return 'silence';
        }
        const step = steps.get(session);
        if (typeof step === 'object' && step.at === 'verdict') {
          asked.put();
          await setTimeout(step.afterMs);
        }
        const error = refusal(session, 'data');
        if (error === null) accepted.put(received);
        return error;
      };
      void receive()
        .catch((error: unknown) => error as Error)
        .then(answerWith(callback));
    },
  });
  server.on('error', () => {
    // A client that breaks off is what some tests are about.
  });
  server.server.on('connection', (socket: Socket) => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
  });
  const listening = server.listen(0, '127.0.0.1');
  await once(listening, 'listening');
  return {
    port: (listening.address() as AddressInfo).port,
    messages: accepted.all,
    next: accepted.next,
    stalled: stalled.next,
    asked: asked.next,
    connections: () => connections,
    async close() {
      const closed = once(listening, 'close');
      server.close();
      for (const socket of sockets) socket.destroy();
      await closed;
    },
  };
}

function serverOptions({ auth, tls = 'none' }: SmtpOptions) {
  const disabledCommands = [auth === undefined ? 'AUTH' : '', tls === 'starttls' ? '' : 'STARTTLS'].filter(
    Boolean,
  );
  return {
    secure: tls === 'tls',
    disabledCommands,
    authOptional: auth === undefined,
    allowInsecureAuth: tls === 'none',
    disableReverseLookup: true,
    logger: false,
  };
}

function answerWith(callback: (error: Error | null) => void) {
  return (answer: Error | null | 'silence'): void => {
    if (answer !== 'silence') callback(answer);
  };
}

async function readMail(stream: SMTPServerDataStream, session: SMTPServerSession): Promise<ReceivedMail> {
  const chunks: Buffer[] = [];
  for await (const chunk of stream) chunks.push(chunk as Buffer);
  const raw = Buffer.concat(chunks);
  const { mailFrom, rcptTo } = session.envelope;
  return {
    mail: await simpleParser(raw),
    raw: raw.toString('utf8'),
    from: mailFrom === false ? '' : mailFrom.address,
    to: rcptTo.map((recipient) => recipient.address),
    secure: session.secure,
    user: typeof session.user === 'string' ? session.user : null,
  };
}

interface Queue<T> {
  readonly all: readonly T[];
  put(item: T): void;
  next: () => Promise<T>;
}

function createQueue<T>(): Queue<T> {
  const all: T[] = [];
  const waiting: ((item: T) => void)[] = [];
  let taken = 0;
  return {
    all,
    put(item) {
      all.push(item);
      const waiter = waiting.shift();
      if (waiter === undefined) return;
      taken += 1;
      waiter(item);
    },
    next: () => {
      if (taken < all.length) {
        taken += 1;
        return Promise.resolve(all[taken - 1] as T);
      }
      return new Promise((resolve) => {
        waiting.push(resolve);
      });
    },
  };
}
