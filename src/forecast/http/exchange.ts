import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import { request, type Dispatcher } from 'undici';
import { single, type RawAnswer } from './failure.ts';

/** Milliseconds until the status line, between two pieces of the body, and for the whole of one request. */
export interface Timeouts {
  readonly headersMs: number;
  readonly bodyMs: number;
  readonly totalMs?: number;
}

const DEFAULT_TIMEOUTS: Required<Timeouts> = { headersMs: 15_000, bodyMs: 15_000, totalMs: 60_000 };

/** A hundred places of nineteen days are about 3 MB, with the members of an ensemble about 12 MB. */
const DEFAULT_MAX_BODY_BYTES = 32 * 1024 * 1024;

const MOST_REDIRECTS = 3;

export interface Call {
  readonly url: URL;
  readonly headers: Readonly<Record<string, string>>;
  readonly dispatcher: Dispatcher;
  readonly timeouts?: Timeouts | undefined;
  readonly maxBodyBytes?: number | undefined;
  readonly followsRedirects: boolean;
  readonly signal: AbortSignal;
}

/** What went wrong on the way; `answering` is true once a status had come. */
export interface Interruption {
  readonly cause: unknown;
  readonly answering: boolean;
  readonly outOfTime: boolean;
}

/** One request and its whole body, unpacked. Rejects only when the caller aborts. */
export async function exchange(call: Call): Promise<RawAnswer | Interruption> {
  const answer = await once(call);
  return 'status' in answer && call.followsRedirects ? follow(answer, call) : answer;
}

/** Along redirects within the same origin; one that leads elsewhere is the answer. */
async function follow(first: RawAnswer, call: Call): Promise<RawAnswer | Interruption> {
  let { url } = call;
  let answer: RawAnswer | Interruption = first;
  for (let step = 0; step < MOST_REDIRECTS && 'status' in answer; step += 1) {
    const target = redirection(answer, url);
    if (target === null) return answer;
    url = target;
    answer = await once({ ...call, url });
  }
  return answer;
}

function redirection({ status, headers }: RawAnswer, from: URL): URL | null {
  const location = single(headers['location']);
  if (status < 301 || status > 308 || status === 304 || location === undefined) return null;
  if (!URL.canParse(location, from.href)) return null;
  const target = new URL(location, from);
  return target.origin === from.origin ? target : null;
}

async function once(call: Call): Promise<RawAnswer | Interruption> {
  call.signal.throwIfAborted();
  const timeouts = { ...DEFAULT_TIMEOUTS, ...call.timeouts };
  const outOfTime = AbortSignal.timeout(timeouts.totalMs);
  const maxBytes = call.maxBodyBytes ?? DEFAULT_MAX_BODY_BYTES;
  let answering = false;
  try {
    const response = await request(call.url, {
      dispatcher: call.dispatcher,
      headers: { ...call.headers, 'accept-encoding': 'gzip' },
      headersTimeout: timeouts.headersMs,
      bodyTimeout: timeouts.bodyMs,
      signal: AbortSignal.any([call.signal, outOfTime]),
    });
    answering = true;
    const packed = await readBytes(response.body, maxBytes);
    const bytes = packed === null ? null : await unpacked(packed, response.headers, maxBytes);
    const body = bytes === null ? null : new TextDecoder().decode(bytes);
    return { status: response.statusCode, headers: response.headers, body };
  } catch (cause) {
    call.signal.throwIfAborted();
    return { cause, answering, outOfTime: outOfTime.aborted };
  }
}

/** The whole body; null when it is larger than allowed, in which case the rest is never read. */
async function readBytes(body: AsyncIterable<Uint8Array>, maxBytes: number): Promise<Uint8Array | null> {
  const chunks: Uint8Array[] = [];
  let bytes = 0;
  for await (const chunk of body) {
    bytes += chunk.byteLength;
    // Leaving the loop destroys the stream, and with it the connection.
    if (bytes > maxBytes) return null;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

/** Null when it grows larger than allowed: a few kilobytes can be packed gigabytes. */
async function unpacked(
  bytes: Uint8Array,
  headers: RawAnswer['headers'],
  maxBytes: number,
): Promise<Uint8Array | null> {
  if (bytes.byteLength === 0 || !/^(x-)?gzip$/i.test(single(headers['content-encoding'])?.trim() ?? '')) {
    return bytes;
  }
  try {
    return await promisify(gunzip)(bytes, { maxOutputLength: maxBytes });
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ERR_BUFFER_TOO_LARGE') return null;
    throw error;
  }
}
