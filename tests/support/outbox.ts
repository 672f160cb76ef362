import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import type { Channel, ChannelId } from '../../src/delivery/channel.ts';
import { openEmail } from '../../src/delivery/email.ts';
import type { Log } from '../../src/outbox/log.ts';
import { openStore } from '../../src/store/open.ts';
import type { OutboxEntry, Store } from '../../src/store/store.ts';
import { NOW } from './letter.ts';
import type { SmtpServer } from './smtp.ts';
import { temporaryDirectory } from './temporary.ts';

export interface LogLine {
  readonly level: 'info' | 'warn' | 'error';
  readonly fields: Readonly<Record<string, unknown>>;
  readonly message: string;
}

export function recordingLog(): Log & { readonly lines: readonly LogLine[] } {
  const lines: LogLine[] = [];
  const at = (level: LogLine['level']) => (fields: object, message: string) => {
    lines.push({ level, fields: { ...fields }, message });
  };
  return { lines, info: at('info'), warn: at('warn'), error: at('error') };
}

/** A clock that stands still until it is moved. */
export function virtualClock(start = NOW): { readonly now: () => number; advance(seconds: number): void } {
  let instant = start;
  return {
    now: () => instant,
    advance(seconds) {
      instant += seconds;
    },
  };
}

/** A store in a directory of its own with these messages waiting. */
export async function storeWith(entries: readonly OutboxEntry[]): Promise<Store & { readonly path: string }> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path);
  onTestFinished(() => store.close());
  await addMessages(store, entries);
  return { ...store, path };
}

/** All in one round, so that none takes another's place. */
export async function addMessages(store: Store, entries: readonly OutboxEntry[]): Promise<void> {
  const round = { id: 'one', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 };
  await store.commitRound(round, [
    { unit: 'blue', expectedVersion: 0, memory: EMPTY_MEMORY, outbox: entries },
  ]);
}

export function emailTo(smtp: Pick<SmtpServer, 'port'>): ReadonlyMap<ChannelId, Channel> {
  const config = {
    host: '127.0.0.1',
    port: smtp.port,
    security: 'none',
    user: null,
    password: null,
  } as const;
  return new Map([['email', openEmail({ ...config, from: 'drainby@example.org' }, { env: {} })]]);
}
