/** Messages posted as JSON to an address that the user names. */
import { createHmac } from 'node:crypto';
import { isIP } from 'node:net';
import { Agent, request } from 'undici';
import type { WebhookConfig } from '../config/config.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Channel } from './channel.ts';
import { machineMessage } from './machine-message.ts';
import { isPublicAddress, publicLookup } from './public-address.ts';
import { readSecret } from './secret.ts';
import type { Environment } from './secret.ts';
import { answerFailure, privateAddress, silenceFailure } from './webhook-failure.ts';

export interface WebhookOptions {
  readonly env: Environment;
  /** When it is sent, for the signature. */
  readonly now: () => EpochSeconds;
  readonly timeouts?: Partial<Timeouts>;
}

/** In milliseconds. */
interface Timeouts {
  readonly connection: number;
  /** From the whole message being there to the first of the answer. */
  readonly answer: number;
}

const TIMEOUTS: Timeouts = { connection: 10_000, answer: 30_000 };

/** Of the answer nothing counts but its status; the rest is read so far, and then hung up on. */
const MOST_ANSWER_BYTES = 4096;

/** `t=<seconds since 1970>,v1=<hex of HMAC-SHA-256 over "<t>.<body>">`. */
export const SIGNATURE_HEADER = 'X-Drainby-Signature';

/** @throws {DeliveryError} 'delivery-config' for a secret that is not there. */
export function openWebhook(config: WebhookConfig, options: WebhookOptions): Channel {
  const secret = readSecret(config.secret, options.env, SECRET);
  const url = new URL(config.url);
  const agent = agentFor(config, options);
  return {
    id: 'webhook',
    async send(message, signal) {
      if (!config.allowPrivate && !isAllowedHost(url)) throw privateAddress(url.host);
      const body = JSON.stringify(machineMessage(message));
      const headers = {
        'content-type': 'application/json',
        'user-agent': 'drainby',
        'idempotency-key': message.messageId.replaceAll(/[^\x21-\x7E]/g, ''),
        ...signed(body, secret, options.now()),
      };
      const answer = await request(url, { method: 'POST', headers, body, dispatcher: agent, signal }).catch(
        (error: unknown) => {
          throw silenceFailure(error, url.host);
        },
      );
      // What the rest of the answer holds, or that it breaks off, changes nothing.
      await answer.body.dump({ limit: MOST_ANSWER_BYTES, signal }).catch(() => undefined);
      const status = answer.statusCode;
      if (status >= 200 && status < 300) return;
      const retryAfter = answer.headers['retry-after'];
      const asked = typeof retryAfter === 'string' ? retryAfter : null;
      throw answerFailure({ status, retryAfter: asked }, url.host, options.now());
    },
    async close() {
      await agent.destroy();
    },
  };
}

const SECRET = { what: 'secret for the webhook', key: 'delivery.webhook.secretEnv or secretFile' };

/** A connection for each message, so that every one is checked; redirects are not followed by this client. */
function agentFor({ allowPrivate }: WebhookConfig, { timeouts }: WebhookOptions): Agent {
  const { connection, answer } = { ...TIMEOUTS, ...timeouts };
  return new Agent({
    pipelining: 0,
    headersTimeout: answer,
    bodyTimeout: answer,
    connect: { timeout: connection, ...(allowPrivate ? {} : { lookup: publicLookup }) },
  });
}

/** A name is checked when it is looked up; an address, however it is written, is never looked up. */
function isAllowedHost({ hostname }: URL): boolean {
  const bare = hostname.replaceAll(/^\[|\]$/g, '');
  return isIP(bare) === 0 || isPublicAddress(bare);
}

/** The time is under the signature, so that a receiver can refuse what somebody else recorded. */
function signed(body: string, secret: string | null, now: EpochSeconds): Record<string, string> {
  if (secret === null) return {};
  const at = Math.floor(now);
  const mac = createHmac('sha256', secret).update(`${at}.${body}`).digest('hex');
  return { [SIGNATURE_HEADER]: `t=${at},v1=${mac}` };
}
