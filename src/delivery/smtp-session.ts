/** One conversation with a mail server: connect, log in, hand over one message, hear the verdict. */
import { Readable } from 'node:stream';
import SMTPConnection from 'nodemailer/lib/smtp-connection';
import type { SMTPConnectionAuth, SMTPConnectionOptions } from 'nodemailer/lib/smtp-connection';

export interface SessionOptions {
  readonly connection: SMTPConnectionOptions;
  /** Null: the server wants no login. */
  readonly auth: SMTPConnectionAuth | null;
  readonly envelope: { readonly from: string; readonly to: string };
  /** The message as MIME. */
  readonly raw: Buffer;
  readonly signal: AbortSignal;
  /** Milliseconds from the start until the whole message must be with the server. */
  readonly takingMs: number;
}

export interface Session {
  /** Resolves once the server has taken the message; rejects with the library's error. */
  readonly done: Promise<void>;
  /** The server has the whole message, up to the dot that ends it. */
  readonly isHandedOver: () => boolean;
}

export function openSession(options: SessionOptions): Session {
  let handedOver = false;
  const body = Readable.from([options.raw], { objectMode: false });
  // The library reads the message only once the server has asked for it, and ends it with the dot.
  body.once('end', () => {
    handedOver = true;
  });
  return { done: converse(options, body, () => handedOver), isHandedOver: () => handedOver };
}

async function converse(options: SessionOptions, body: Readable, isHandedOver: () => boolean): Promise<void> {
  const { signal, takingMs } = options;
  const connection = new SMTPConnection(options.connection);
  const broken = withReject();
  connection.once('error', broken.reject);
  // A late failure of a connection that was given up is nobody's concern.
  connection.on('error', () => undefined);
  const onAbort = (): void => broken.reject(new Error('The attempt was broken off'));
  signal.addEventListener('abort', onAbort, { once: true });
  const timer = setTimeout(() => {
    if (!isHandedOver()) broken.reject(new Error('The message was not asked for in time'));
  }, takingMs);
  try {
    if (signal.aborted) onAbort();
    await Promise.race([exchange(connection, options, body), broken.promise]);
  } finally {
    clearTimeout(timer);
    signal.removeEventListener('abort', onAbort);
    connection.close();
    body.destroy();
  }
}

async function exchange(
  connection: SMTPConnection,
  { auth, envelope }: SessionOptions,
  body: Readable,
): Promise<void> {
  await called((done) => connection.connect(done));
  if (auth !== null) await called((done) => connection.login(auth, done));
  const { from, to } = envelope;
  await called((done) => connection.send({ from, to: [to] }, body, done));
}

function called(start: (done: (error?: Error | null) => void) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    start((error) => {
      if (error === undefined || error === null) resolve();
      else reject(error);
    });
  });
}

function withReject(): { readonly promise: Promise<never>; readonly reject: (error: Error) => void } {
  let reject: (error: Error) => void = () => undefined;
  const promise = new Promise<never>((_resolve, fail) => {
    reject = fail;
  });
  promise.catch(() => undefined);
  return { promise, reject };
}
