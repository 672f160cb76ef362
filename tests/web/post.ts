/** A web server on a free port, and what to say to it. */
import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';
import { openWeb, type Web, type WebOptions } from '../../src/web/server.ts';
import { NOW } from '../support/letter.ts';
import { recordingLog, type LogLine } from '../support/outbox.ts';

export const TOKEN = 'correct-horse-battery-staple';

type Posted = Parameters<WebOptions['addReadings']>[0];

export interface Served extends Web {
  readonly port: number;
  /** What was handed on to be kept, in the order of the requests. */
  readonly taken: Posted[];
  readonly log: readonly LogLine[];
  readonly abort: () => void;
}

export async function serve(over: Partial<WebOptions> = {}): Promise<Served> {
  const taken: Posted[] = [];
  const log = recordingLog();
  const stop = new AbortController();
  const web = await openWeb({
    listen: '127.0.0.1:0',
    token: TOKEN,
    addReadings: async (posted) => {
      taken.push(posted);
      return { ok: true, counts: { added: posted.length, replaced: 0, known: 0 } };
    },
    wellness: async () => ({ lastRoundAt: null, reasons: ['No round has finished yet.'] }),
    now: () => NOW,
    log,
    signal: stop.signal,
    ...over,
  });
  onTestFinished(() => web.close());
  const port = Number(new URL(web.address).port);
  return { ...web, port, taken, log: log.lines, abort: () => stop.abort() };
}

export interface Reply {
  readonly status: number;
  readonly headers: Headers;
  readonly body: unknown;
}

export async function post(
  { address }: Pick<Served, 'address'>,
  body: unknown,
  headers: Readonly<Record<string, string>> = {},
): Promise<Reply> {
  const response = await fetch(`${address}/readings`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${TOKEN}`, ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
  return { status: response.status, headers: response.headers, body: await response.json() };
}

/** The head of a request as it goes over the wire. */
export function head(lines: readonly string[] = [], method = 'POST', path = '/readings'): string {
  return [`${method} ${path} HTTP/1.1`, 'Host: drainby', ...lines, '', ''].join('\r\n');
}

export const WITH_TOKEN = [`Authorization: Bearer ${TOKEN}`, 'Content-Type: application/json'];

/** A connection of its own; `ended` is all that came until the server closed it. */
export async function dial(port: number): Promise<{ socket: Socket; ended: Promise<string> }> {
  const socket = connect(port, '127.0.0.1');
  onTestFinished(() => void socket.destroy());
  let heard = '';
  socket.setEncoding('utf8').on('data', (text: string) => (heard += text));
  // A server that closes while we still write resets the connection.
  socket.on('error', () => undefined);
  const ended = once(socket, 'close').then(() => heard);
  await once(socket, 'connect');
  return { socket, ended };
}
