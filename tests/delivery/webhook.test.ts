import { createHmac } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { once } from 'node:events';
import { join } from 'node:path';
import { inspect } from 'node:util';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { WebhookConfig } from '../../src/config/config.ts';
import type { Channel } from '../../src/delivery/channel.ts';
import { MachineMessageSchema } from '../../src/delivery/machine-schema.ts';
import { openWebhook, SIGNATURE_HEADER, type WebhookOptions } from '../../src/delivery/webhook.ts';
import { DeliveryError } from '../../src/errors.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { letter, NOW } from '../support/letter.ts';
import { startReceiver } from '../support/receiver.ts';
import { startSmtp } from '../support/smtp.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const NEVER = new AbortController().signal;
const PATH = '/hooks/7f3a-the-secret-in-the-path';
const MESSAGE = letter({
  place: 'creek',
  episode: 'blue-1',
  useBefore: NOW + 7200,
  short: 'Blue trailer: DRAIN by 10:30.',
  figures: {
    method: null,
    late: false,
    chanceOfDamage: {
      nothing: 0.87,
      drain: 0.02,
    },
    throughCold: { until: Date.UTC(2026, 10, 29, 18) / 1000, chanceOfDamage: { 'keep-warm': 0.14 } },
    lowestC: -9.123456,
    lowestAt: NOW + 6e4,
    suspect: false,
    heat: 'unchanged',
  },
});

function webhook(
  url: string,
  over: Partial<WebhookConfig> = {},
  options: Partial<WebhookOptions> = {},
): Channel {
  const channel = openWebhook(
    { url, secret: null, allowPrivate: true, ...over },
    { env: {}, now: () => NOW + 30.6, ...options },
  );
  onTestFinished(() => channel.close());
  return channel;
}

function local(
  port: number,
  over: Partial<WebhookConfig> = {},
  options: Partial<WebhookOptions> = {},
): Channel {
  return webhook(`http://127.0.0.1:${port}${PATH}`, over, options);
}

async function refusal(channel: Channel, message: OutgoingMessage = MESSAGE): Promise<DeliveryError> {
  const error: unknown = await channel.send(message, NEVER).then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(DeliveryError);
  // Whatever is printed of it, the path is a secret.
  expect(inspect(error, { depth: 9 })).not.toContain('secret-in-the-path');
  return error as DeliveryError;
}

describe('a webhook', () => {
  it('gets the message as JSON with its schema, its id and until when it holds', async () => {
    const receiver = await startReceiver();
    await local(receiver.port).send(MESSAGE, NEVER);
    const [posted] = receiver.posted;
    expect(posted).toMatchObject({ method: 'POST', path: PATH });
    expect(posted?.headers).toMatchObject({
      'content-type': 'application/json',
      'idempotency-key': '<blue.act.ann@drainby.example.org>',
    });
    expect(posted?.headers[SIGNATURE_HEADER.toLowerCase()]).toBeUndefined();
    const body: unknown = JSON.parse(posted?.body ?? '');
    expect(MachineMessageSchema.parse(body)).toEqual(body);
    expect(body).toEqual({
      schema: 'drainby.message/1',
      id: '<blue.act.ann@drainby.example.org>',
      kind: 'act',
      unit: 'blue',
      place: 'creek',
      action: 'drain',
      partial: false,
      method: null,
      startBy: '2026-11-25T10:30:00Z',
      late: false,
      asOf: '2026-11-25T08:30:00Z',
      validUntil: '2026-11-25T10:30:00Z',
      cause: 'cold-ahead',
      episode: 'blue-1',
      chanceOfDamage: {
        nothing: 0.87,
        drain: 0.02,
      },
      throughCold: { until: '2026-11-29T18:00:00Z', chanceOfDamage: { 'keep-warm': 0.14 } },
      lowestC: -9.12,
      lowestAt: '2026-11-26T01:10:00Z',
      suspect: false,
      heat: 'unchanged',
      to: {
        id: 'ann',
        name: 'Ann Example',
      },
      subject: MESSAGE.subject,
      short: MESSAGE.short,
      text: MESSAGE.text,
    });
    expect(posted?.body).not.toContain('ann@example.org');
  });

  it('gets what an older version wrote, with what it did not say as unknown', async () => {
    const receiver = await startReceiver();
    await local(receiver.port).send(letter(), NEVER);
    const body: unknown = JSON.parse(receiver.posted[0]?.body ?? '');
    expect(MachineMessageSchema.parse(body)).toEqual(body);
    expect(body).toMatchObject({
      place: null,
      validUntil: null,
      chanceOfDamage: null,
      suspect: null,
      heat: 'unchanged',
    });
  });

  it('can tell who sent it and when, and the body is the same at every attempt', async () => {
    const receiver = await startReceiver();
    const file = join(temporaryDirectory(), 'secret');
    writeFileSync(file, 'correct horse\n');
    let now = NOW;
    const channel = local(receiver.port, { secret: { file } }, { now: () => now });
    await channel.send(MESSAGE, NEVER);
    now += 600;
    await channel.send(MESSAGE, NEVER);
    const [first, second] = receiver.posted;
    expect(second?.body).toBe(first?.body);
    for (const [posted, at] of [
      [first, NOW],
      [second, NOW + 600],
    ] as const) {
      const mac = createHmac('sha256', 'correct horse').update(`${at}.${posted?.body}`).digest('hex');
      expect(posted?.headers[SIGNATURE_HEADER.toLowerCase()]).toBe(`t=${at},v1=${mac}`);
    }
  });

  it.each([
    [{ env: 'NOT_SET' }, /NOT_SET holds no secret for the webhook/],
    [{ file: '/nonexistent/secret' }, /\/nonexistent\/secret/],
  ])('is not opened without the secret that the config names', (secret, named) => {
    expect(() => webhook('http://127.0.0.1/', { secret })).toThrow(named);
  });

  it('is not waited for once it has said that it takes the message, whatever else it says', async () => {
    const receiver = await startReceiver((response) => {
      response.writeHead(200);
      response.write('x'.repeat(200_000));
    });
    await local(receiver.port).send(MESSAGE, NEVER);
    expect(receiver.posted).toHaveLength(1);
  });
});

describe('an answer of the receiver', () => {
  it.each([301, 302, 303, 307, 308])(
    'that redirects (%i) is followed by nobody and ends it',
    async (status) => {
      const other = await startReceiver();
      const receiver = await startReceiver((response) =>
        response.writeHead(status, { location: `http://127.0.0.1:${other.port}/secret-in-the-path` }).end(),
      );
      const error = await refusal(local(receiver.port));
      expect(error).toMatchObject({ code: 'delivery-refused', retryable: false });
      expect(error.message).toContain('redirects');
      expect(error.message).toContain(`127.0.0.1:${receiver.port}`);
      expect(other.posted).toEqual([]);
    },
  );

  it.each([400, 401, 403, 404, 410, 413, 422])('of %i is for good', async (status) => {
    const receiver = await startReceiver((response) => response.writeHead(status).end('no'));
    expect(await refusal(local(receiver.port))).toMatchObject({ code: 'delivery-refused', retryable: false });
  });

  it.each([408, 425, 429, 500, 502, 503, 504])('of %i means later', async (status) => {
    const receiver = await startReceiver((response) => response.writeHead(status).end());
    const error = await refusal(local(receiver.port));
    expect(error).toMatchObject({ code: 'delivery-unreachable', retryable: true, retryAfterS: null });
  });

  it.each([
    ['90', 90],
    ['0', 0],
    ['86400', 3600],
    [new Date((NOW + 150.6) * 1000).toUTCString(), 119.4],
    [new Date((NOW - 999) * 1000).toUTCString(), 0],
    ['soon', null],
    ['-5', null],
  ])('is heeded as to how much later, within an hour: %s', async (asked, seconds) => {
    const receiver = await startReceiver((response) =>
      response.writeHead(429, { 'retry-after': asked }).end(),
    );
    const { retryAfterS } = await refusal(local(receiver.port));
    if (seconds === null || retryAfterS === null) expect(retryAfterS).toBe(seconds);
    else expect(retryAfterS).toBeCloseTo(seconds, 3);
  });

  it('that does not come is missed in time', async () => {
    const receiver = await startReceiver(() => undefined);
    const error = await refusal(local(receiver.port, {}, { timeouts: { answer: 200 } }));
    expect(error).toMatchObject({ code: 'delivery-unreachable', retryable: true });
    expect(receiver.posted).toHaveLength(1);
  });

  it('that breaks off may be had again: the receiver knows the message by its id', async () => {
    let isFirst = true;
    const receiver = await startReceiver((response, request) => {
      if (!isFirst) response.writeHead(200).end();
      else request.socket.resetAndDestroy();
      isFirst = false;
    });
    const channel = local(receiver.port);
    expect(await refusal(channel)).toMatchObject({ code: 'delivery-unreachable', retryable: true });
    await channel.send(MESSAGE, NEVER);
    const keys = receiver.posted.map(({ headers }) => headers['idempotency-key']);
    expect(keys).toEqual([MESSAGE.messageId, MESSAGE.messageId]);
  });

  it('is not waited for when the program ends', async () => {
    const receiver = await startReceiver(() => undefined);
    const stop = new AbortController();
    const sending = local(receiver.port).send(MESSAGE, stop.signal);
    await receiver.next();
    stop.abort();
    await expect(sending).rejects.toMatchObject({ code: 'delivery-unreachable', retryable: true });
  });

  it('that is none, because nobody listens, may be had later', async () => {
    const server = createServer().listen(0, '127.0.0.1');
    await once(server, 'listening');
    const { port } = server.address() as { port: number };
    server.close();
    await once(server, 'close');
    const error = await refusal(local(port));
    expect(error).toMatchObject({ code: 'delivery-unreachable', retryable: true });
    expect(error.message).toContain('ECONNREFUSED');
  });
});

describe('encryption', () => {
  it('that nobody vouches for keeps the message back', async () => {
    // Any server with a certificate of its own making; that it speaks of mail is never heard.
    const server = await startSmtp({ tls: 'tls' });
    onTestFinished(() => server.close());
    const error = await refusal(webhook(`https://127.0.0.1:${server.port}${PATH}`));
    expect(error).toMatchObject({ code: 'delivery-unreachable', retryable: true });
    expect(error.message).toContain('no trusted encryption');
  });
});

describe('an address of a private network', () => {
  it.each([
    '127.0.0.1',
    'localhost',
    '[::ffff:127.0.0.1]',
    '[::ffff:7f00:1]',
    '[::1]',
    '0.0.0.0',
    '127.1',
    '2130706433',
    '0x7f.1',
    '0177.0.0.1',
    '0x7f000001',
    '127.0.0.1.',
  ])('is refused, however it is written: %s', async (host) => {
    const receiver = await startReceiver();
    const channel = webhook(`http://${host}:${receiver.port}${PATH}`, { allowPrivate: false });
    const error = await refusal(channel);
    expect(error).toMatchObject({ code: 'delivery-config', retryable: false });
    expect(error.message).toContain('private network');
    expect(error.hint).toContain('allowPrivate');
    expect(receiver.posted).toEqual([]);
  });

  it.each(['127.0.0.1', 'localhost', '2130706433'])(
    'is taken where the config allows it: %s',
    async (host) => {
      const receiver = await startReceiver();
      await webhook(`http://${host}:${receiver.port}${PATH}`).send(MESSAGE, NEVER);
      expect(receiver.posted).toHaveLength(1);
    },
  );
});
