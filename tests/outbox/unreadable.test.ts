/** A message whose text in the database was damaged: it is given up and heard of, and the others go out. */
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { deliverDue } from '../../src/outbox/loop.ts';
import { listMessage } from '../../src/message/list.ts';
import { NOW, entry } from '../support/letter.ts';
import { emailTo, recordingLog, storeWith } from '../support/outbox.ts';
import { startSmtp } from '../support/smtp.ts';
import type { OutboxEntry } from '../../src/store/store.ts';

/** Three letters wait, and the first of them was damaged. */
async function damaged(set: string, over: Partial<OutboxEntry> = {}) {
  const smtp = await startSmtp();
  onTestFinished(() => smtp.close());
  const entries = ['one', 'two', 'three'].map((episode) => ({ ...entry({ episode }), ...over }));
  const store = await storeWith(entries);
  const database = new Database(store.path);
  database.exec(`update outbox set ${set} where id = 1`);
  database.close();
  const log = recordingLog();
  const signal = new AbortController().signal;
  const channels = emailTo(smtp);
  const options = { store, channels, now: () => NOW, owner: 'this', leaseSeconds: 60, signal, log };
  return { smtp, store, log, entries, options };
}

describe('a message that cannot be read', () => {
  it.each(['{', '', 'null', '[]', '7', '"text"', '{}', '{"messageId":"<a@b>","kind":"act","unit":"blue"}'])(
    'being %j, is lost and heard of, and the next ones are sent',
    async (text) => {
      const { smtp, store, log, options } = await damaged(`message = '${text}'`);
      expect(await store.countUnreadable()).toBe(1);
      expect(await deliverDue(options)).toEqual({ sent: 2, again: 0, failed: 1, expired: 0 });
      expect(smtp.messages).toHaveLength(2);
      const [said] = log.lines.filter(({ level }) => level === 'error');
      expect(said?.fields).toMatchObject({ rowId: 1, unit: 'blue', code: 'store-damaged' });
      expect(await store.undelivered(NOW)).toMatchObject({ unreached: [{ unit: 'blue', person: 'ann' }] });
      expect([await store.countUnreadable(), await store.nextDueAt(NOW)]).toEqual([0, null]);
    },
  );

  it('among those that go out as one is left out of them', async () => {
    const { smtp, options } = await damaged("message = '{'", { gathers: true });
    const report = await deliverDue({ ...options, gather: listMessage });
    expect(report).toEqual({ sent: 1, again: 0, failed: 1, expired: 0 });
    expect(smtp.messages).toHaveLength(1);
  });

  it('goes no other way, either', async () => {
    const { store, options } = await damaged("message = '{'", { ways: ['file'] });
    expect(await deliverDue(options)).toMatchObject({ sent: 2, failed: 1 });
    expect(await store.nextDueAt(NOW)).toBeNull();
    expect((await store.undelivered(NOW)).unreached).toHaveLength(1);
  });

  it('is put in anew by the next round in which it holds', async () => {
    const { smtp, store, entries, options } = await damaged("message = '{'");
    await deliverDue(options);
    const round = { id: 'two', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 };
    expect(await store.enqueue(round, entries)).toBe(1);
    expect(await deliverDue(options)).toEqual({ sent: 1, again: 0, failed: 0, expired: 0 });
    expect(smtp.messages).toHaveLength(3);
  });
});

it('a message of whose other ways nothing can be read goes its own', async () => {
  const { smtp, options } = await damaged("ways = '['", { ways: ['file'] });
  expect(await deliverDue(options)).toMatchObject({ sent: 3, failed: 0 });
  expect(smtp.messages).toHaveLength(3);
});
