import { describe, expect, it, onTestFinished } from 'vitest';
import { openTextGateway, TEXT_MESSAGE_LENGTH } from '../../src/delivery/text-gateway.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { letter } from '../support/letter.ts';
import { startSmtp } from '../support/smtp.ts';

const NEVER = new AbortController().signal;
const TO = { id: 'ann', name: 'Ann Example', email: 'ann@example.org', text: '15550100@gateway.example' };
const PICTURE = { svg: '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>', alternative: 'x' };
const SHORT =
  'Blue trailer: DRAIN, start by Wed 10:30 (45 min). Low -9C Thu 05:00, city inlet goes first. 87 % chance of damage, then 2 %. Creek row.';

async function gateway() {
  const smtp = await startSmtp();
  onTestFinished(() => smtp.close());
  const channel = openTextGateway(
    {
      ...({ host: '127.0.0.1', port: smtp.port, security: 'none', user: null, password: null } as const),
      from: 'Drain watch <drainby@example.org>',
    },
    { env: {} },
  );
  const send = async (over: Partial<OutgoingMessage>) => {
    await channel.send(letter({ to: TO, ...over }), NEVER);
    return await smtp.next();
  };
  return { smtp, channel, send };
}

function bodyOf(raw: string): string {
  return raw.slice(raw.indexOf('\r\n\r\n') + 4);
}

describe('a text message', () => {
  it('is the short form alone, on one line, to the gateway', async () => {
    const { send } = await gateway();
    const { raw, mail, to, from } = await send({ short: SHORT, picture: PICTURE });
    expect(to).toEqual([TO.text]);
    expect(from).toBe('drainby@example.org');
    expect(bodyOf(raw)).toBe(`${SHORT}\r\n`);
    expect(mail.subject).toBeUndefined();
    expect(mail.attachments).toEqual([]);
    expect(mail.html).toBe(false);
    expect(mail.messageId).toBe('<blue.act.ann@drainby.example.org>');
    expect(mail.date?.toISOString()).toBe('2026-11-25T08:30:00.000Z');
    expect(mail.headers.get('auto-submitted')).toBe('auto-generated');
    expect(mail.headers.get('content-type')).toMatchObject({
      value: 'text/plain',
      params: { charset: 'us-ascii' },
    });
    expect(raw).not.toContain('Ann Example');
    expect(raw).not.toContain('flowed');
  });

  it('is the same to the byte at every attempt', async () => {
    const { send } = await gateway();
    expect((await send({ short: SHORT })).raw).toBe((await send({ short: SHORT })).raw);
  });

  it('holds nothing but 7-bit characters, and minus stays minus', async () => {
    const { send } = await gateway();
    const { raw } = await send({ short: 'Žofie’s “Blue” – −9 °C, ½ 山 done\r\nBcc: thief@example.net' });
    expect(bodyOf(raw)).toBe('Zofie\'s "Blue" - -9 C, 1/2 ? done Bcc: thief@example.net\r\n');
  });

  it.each([
    ['a short form that is none', { short: `${'word '.repeat(40)}end` }],
    ['a subject without a short form', { subject: `Drain ${'word '.repeat(40)}end` }],
  ])('of %s is cut between words, and shows that it was', async (_what, over) => {
    const { send } = await gateway();
    const body = bodyOf((await send(over)).raw).trimEnd();
    expect(body.length).toBeLessThanOrEqual(TEXT_MESSAGE_LENGTH);
    expect(body).toMatch(/ word\.\.$/);
  });

  it('without a short form says what the subject says', async () => {
    const { send } = await gateway();
    expect(bodyOf((await send({})).raw)).toBe('Drain Blue trailer: start by 10:30\r\n');
  });

  it('needs the address of a gateway, and says for whom there is none', async () => {
    const { channel, smtp } = await gateway();
    for (const text of [undefined, null]) {
      const to = {
        id: 'ann',
        name: 'Ann',
        email: 'ann@example.org',
        ...(text === undefined ? {} : { text }),
      };
      await expect(channel.send(letter({ to }), NEVER)).rejects.toMatchObject({
        code: 'delivery-config',
        retryable: false,
        message: expect.stringContaining('ann') as string,
      });
    }
    expect(smtp.connections()).toBe(0);
  });

  it('does not go to more than one address', async () => {
    const { channel, smtp } = await gateway();
    const to = { ...TO, text: '1@gateway.example\r\nRCPT TO:<thief@example.net>' };
    await expect(channel.send(letter({ to }), NEVER)).rejects.toMatchObject({ code: 'delivery-config' });
    expect(smtp.connections()).toBe(0);
  });
});
