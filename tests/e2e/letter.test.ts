import { describe, expect, it } from 'vitest';
import { parseInstant } from '../../src/quantity/instant.ts';
import { ANN, BLUE, answers, coldComes, header, inspect, setScene, type Air } from './scene.ts';

describe('quiet hours', () => {
  /** 23:00 at Ann's in Denver. */
  const LATE = '2026-11-26T06:00:00Z';
  /** 07:00 there. */
  const MORNING = '2026-11-26T14:00:00Z';
  const at = (text: string): number => parseInstant(text) ?? Number.NaN;
  const QUIET = { ...ANN, timeZone: 'America/Denver', quiet: '22:00-07:00' };
  /** Late enough for the start-by to be more than a day away. */
  const COLD_IN_DAYS: Air = (hour) => (hour >= 66 && hour < 120 ? -15 : 8);

  it(
    'hold back what can wait until they end, and a test message is no such thing',
    { timeout: 60_000 },
    async () => {
      const weather = answers(COLD_IN_DAYS, { now: () => at(LATE) });
      const scene = await setScene({ weather, config: { people: [QUIET] } });
      expect((await scene.run('start', '--once', '--now', LATE)).exit).toBe(0);
      expect(scene.smtp.messages).toEqual([]);
      const [held] = inspect(scene.store).outbox;
      expect(held).toMatchObject({ kind: 'act', state: 'waiting', attempt: 0, due_at: at(MORNING) });

      const { exit, stdout } = await scene.run('send-test', 'ann');
      expect([exit, stdout]).toEqual([0, 'Handed over to: email.\n']);
      expect(header(await scene.smtp.next(), 'x-drainby-kind')).toBe('test');

      expect((await scene.run('start', '--once', '--now', MORNING)).exit).toBe(0);
      const { mail } = await scene.smtp.next();
      expect(mail.messageId).toBe(held?.message.messageId);
      expect(scene.smtp.messages).toHaveLength(2);
    },
  );

  it('do not hold back what cannot wait', async () => {
    const scene = await setScene({ weather: coldComes(() => at(LATE)), config: { people: [QUIET] } });
    expect((await scene.run('start', '--once', '--now', LATE)).exit).toBe(0);
    expect(scene.smtp.messages).toHaveLength(1);
  });
});

it('names full of signs arrive whole, and add neither a header nor a reader', async () => {
  const label = `"Zoë", <Blue> & 'co'; Bcc: eve@ex.org 雪 =?utf-8?q?x?=`;
  const name = `Ann "Ice", <eve@example.org> Ünal`;
  const scene = await setScene({
    config: { units: [{ ...BLUE, label }], people: [{ ...ANN, name }] },
  });
  expect((await scene.run('start', '--once')).exit).toBe(0);
  const { mail, raw, from, to } = await scene.smtp.next();
  expect([from, to]).toEqual(['drainby@example.org', ['ann@example.org']]);
  expect(mail.to).toMatchObject({ value: [{ address: 'ann@example.org', name }] });
  expect(mail.subject).toContain(label);
  expect((mail.text ?? '').replaceAll(/\s+/g, ' ')).toContain(label);
  expect(mail.html).toContain('&lt;Blue&gt; &amp; ');
  expect(mail.html).not.toContain('<Blue>');
  expect([...mail.headers.keys()].toSorted()).toEqual([
    'auto-submitted',
    'content-type',
    'date',
    'from',
    'message-id',
    'mime-version',
    'subject',
    'to',
    'x-drainby-action',
    'x-drainby-cause',
    'x-drainby-kind',
    'x-drainby-start-by',
    'x-drainby-unit',
  ]);
  const head = raw.slice(0, raw.indexOf('\r\n\r\n'));
  expect(head).toMatch(/^[\t\r\n\x20-\x7e]*$/);
  expect(head).not.toMatch(/^bcc:/im);
});
