import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { inspect } from 'node:util';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { EmailConfig } from '../../src/config/config.ts';
import type { Channel } from '../../src/delivery/channel.ts';
import { openEmail } from '../../src/delivery/email.ts';
import type { MailOptions } from '../../src/delivery/smtp-sender.ts';
import { DeliveryError } from '../../src/errors.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { letter } from '../support/letter.ts';
import { startSmtp } from '../support/smtp.ts';
import type { SmtpOptions, SmtpServer } from '../support/smtp.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const NEVER = new AbortController().signal;
const LOGIN = { user: 'drainby', password: 'not a real secret' };

async function server(options: SmtpOptions = {}): Promise<SmtpServer> {
  const smtp = await startSmtp(options);
  onTestFinished(() => smtp.close());
  return smtp;
}

function config(port: number, over: Partial<EmailConfig> = {}): EmailConfig {
  return {
    host: '127.0.0.1',
    port,
    security: 'none',
    from: 'Drain watch <drainby@example.org>',
    user: null,
    password: null,
    ...over,
  };
}

function channel(port: number, over: Partial<EmailConfig> = {}, options: Partial<MailOptions> = {}): Channel {
  return openEmail(config(port, over), { env: {}, ...options });
}

async function refusal(sender: Channel, message: OutgoingMessage): Promise<DeliveryError> {
  const error: unknown = await sender.send(message, NEVER).then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(DeliveryError);
  return error as DeliveryError;
}

describe('e-mail', () => {
  it('arrives with sender, reader, text, HTML, date, stable Message-ID and the headers for programs', async () => {
    const smtp = await server();
    await channel(smtp.port).send(letter(), NEVER);
    const { mail, from, to } = await smtp.next();
    expect(from).toBe('drainby@example.org');
    expect(to).toEqual(['ann@example.org']);
    expect(mail.from?.value).toEqual([{ name: 'Drain watch', address: 'drainby@example.org' }]);
    expect(mail.to).toMatchObject({ value: [{ name: 'Ann Example', address: 'ann@example.org' }] });
    expect(mail.subject).toBe('Drain Blue trailer: start by 10:30');
    expect(mail.messageId).toBe('<blue.act.ann@drainby.example.org>');
    expect(mail.date?.toISOString()).toBe('2026-11-25T08:30:00.000Z');
    expect(mail.text?.trimEnd()).toBe('Hard cold comes tonight: −9 °C.\n\nStart by 10:30.');
    expect(mail.html).toContain('<p>Hard cold comes tonight: −9&nbsp;°C.</p>');
    expect(mail.headers.get('x-drainby-kind')).toBe('act');
    expect(mail.headers.get('x-drainby-unit')).toBe('blue');
    expect(mail.headers.get('x-drainby-action')).toBe('drain');
    expect(mail.headers.get('x-drainby-start-by')).toBe('2026-11-25T10:30:00Z');
    expect(mail.headers.get('x-drainby-cause')).toBe('cold-ahead');
    expect(mail.headers.get('auto-submitted')).toBe('auto-generated');
  });

  it('has no start-by header when there is no work to start', async () => {
    const smtp = await server();
    await channel(smtp.port).send(letter({ startBy: null, kind: 'all-clear', action: 'nothing' }), NEVER);
    const { mail } = await smtp.next();
    expect(mail.headers.has('x-drainby-start-by')).toBe(false);
    expect(mail.headers.get('x-drainby-kind')).toBe('all-clear');
  });

  it('is the same to the byte at every attempt', async () => {
    const smtp = await server();
    const sender = channel(smtp.port);
    await sender.send(letter(), NEVER);
    await sender.send(letter(), NEVER);
    expect((await smtp.next()).raw).toBe((await smtp.next()).raw);
  });

  it('stays in clear where the config says none, even when the server offers STARTTLS', async () => {
    const smtp = await server({ tls: 'starttls' });
    await channel(smtp.port).send(letter(), NEVER);
    expect((await smtp.next()).secure).toBe(false);
  });

  it.each(['starttls', 'tls'] as const)(
    'logs in over %s with a password from the environment',
    async (tls) => {
      const smtp = await server({ tls, auth: LOGIN });
      const over = { security: tls, user: LOGIN.user, password: { env: 'MAIL_PASSWORD' } };
      const options = { env: { MAIL_PASSWORD: LOGIN.password }, tls: { rejectUnauthorized: false } };
      await channel(smtp.port, over, options).send(letter(), NEVER);
      expect(await smtp.next()).toMatchObject({ secure: true, user: LOGIN.user });
    },
  );

  it('takes a password from a file, without the line end that an editor adds', async () => {
    const smtp = await server({ auth: LOGIN });
    const file = join(temporaryDirectory(), 'password');
    writeFileSync(file, `${LOGIN.password}\n`);
    await channel(smtp.port, { user: LOGIN.user, password: { file } }).send(letter(), NEVER);
    expect((await smtp.next()).user).toBe(LOGIN.user);
  });
});

describe('a failure of the mail server', () => {
  it('is permanent when the address is refused with 550', async () => {
    const smtp = await server({ script: [{ at: 'rcpt', code: 550, text: 'no such mailbox' }] });
    const error = await refusal(channel(smtp.port), letter());
    expect(error).toMatchObject({ code: 'delivery-refused', retryable: false });
    expect(error.message).toContain('no such mailbox');
    expect(smtp.messages).toEqual([]);
  });

  it('is permanent when the content is refused with 554', async () => {
    const smtp = await server({ script: [{ at: 'data', code: 554, text: 'not wanted' }] });
    expect(await refusal(channel(smtp.port), letter())).toMatchObject({
      code: 'delivery-refused',
      retryable: false,
    });
  });

  it('may be tried again after 451, and then the message is taken', async () => {
    const smtp = await server({ script: [{ at: 'rcpt', code: 451, text: 'come back later' }] });
    const sender = channel(smtp.port);
    expect(await refusal(sender, letter())).toMatchObject({ code: 'delivery-unreachable', retryable: true });
    await sender.send(letter(), NEVER);
    expect((await smtp.next()).mail.messageId).toBe('<blue.act.ann@drainby.example.org>');
  });

  it('may be tried again when the server turns everybody away with 554 at the door', async () => {
    const smtp = await server({ script: [{ at: 'connect', code: 554, text: 'closed' }] });
    expect(await refusal(channel(smtp.port), letter())).toMatchObject({ retryable: true });
  });

  it('may be tried again when nobody listens', async () => {
    const smtp = await startSmtp();
    await smtp.close();
    expect(await refusal(channel(smtp.port), letter())).toMatchObject({
      code: 'delivery-unreachable',
      retryable: true,
    });
  });

  it('may be tried again when the password is wrong, because the operator can mend it', async () => {
    const smtp = await server({ auth: LOGIN });
    const over = { user: LOGIN.user, password: { env: 'MAIL_PASSWORD' } };
    const error = await refusal(channel(smtp.port, over, { env: { MAIL_PASSWORD: 'wrong' } }), letter());
    expect(error).toMatchObject({ code: 'delivery-refused', retryable: true });
    expect(error.hint).toContain('password');
    expect(error.message).not.toContain('wrong');
  });

  const SECRET = 'Correct Horse/battery+9';
  const base64 = (text: string): string => Buffer.from(text).toString('base64');

  it.each([
    ['as it is', (password: string) => `5.7.8 bad password "${password}"`],
    ['in capitals', (password: string) => `5.7.8 BAD PASSWORD ${password.toUpperCase()}`],
    ['in base64, of AUTH LOGIN (from memory)', (password: string) => `5.7.8 ${base64(password)} is wrong`],
    [
      'in base64, without its padding, of AUTH PLAIN (RFC 4616, 2)',
      (password: string) => `5.7.8 AUTH PLAIN ${base64(`\0drainby\0${password}`).replaceAll('=', '')}`,
    ],
    ['cut in two', (password: string) => `5.7.8 ${password.slice(0, 9)}\n5.7.8 ${password.slice(9)}`],
  ])(
    'says the status of a refused login, and not the password that the server repeats %s',
    async (_how, say) => {
      for (const code of [454, 534, 535]) {
        const refusesLogin = ({ password }: { password: string }) => ({ code, text: say(password) });
        const smtp = await server({ auth: LOGIN, refusesLogin });
        const over = { user: LOGIN.user, password: { env: 'MAIL_PASSWORD' } };
        const error = await refusal(channel(smtp.port, over, { env: { MAIL_PASSWORD: SECRET } }), letter());
        expect(error.message).toBe(
          `The mail server 127.0.0.1:${smtp.port} refused the login (${code} 5.7.8).`,
        );
        // Whoever logs the error with all that it holds finds no more.
        const whole = inspect(error, { depth: 9, showHidden: true });
        for (const part of ['Horse', 'HORSE', 'battery', base64(SECRET), base64(`\0drainby\0${SECRET}`)])
          expect(whole).not.toContain(part.replaceAll('=', ''));
      }
    },
  );

  it.each([
    ['as it is', SECRET],
    ['in base64', base64(SECRET)],
    ['as AUTH PLAIN', base64(`\0drainby\0${SECRET}`)],
  ])('leaves the password out also where another answer repeats it %s', async (_how, repeated) => {
    const script = [{ at: 'rcpt', code: 550, text: `not for ${repeated}, thanks` } as const];
    const smtp = await server({ auth: { ...LOGIN, password: SECRET }, script });
    const over = { user: LOGIN.user, password: { env: 'MAIL_PASSWORD' } };
    const error = await refusal(channel(smtp.port, over, { env: { MAIL_PASSWORD: SECRET } }), letter());
    expect(error.message).toContain('refused the message: ');
    expect(error.message).toContain('550 not for […], thanks');
    expect(inspect(error, { depth: 9, showHidden: true })).not.toContain(repeated);
  });

  it('may be tried again when the server asks for a login that was not configured', async () => {
    const smtp = await server({ auth: LOGIN });
    expect(await refusal(channel(smtp.port), letter())).toMatchObject({
      code: 'delivery-refused',
      retryable: true,
    });
  });

  it('keeps the message back when a server with a login does not offer it', async () => {
    const smtp = await server();
    const over = { user: LOGIN.user, password: { env: 'MAIL_PASSWORD' } };
    const sender = channel(smtp.port, over, { env: { MAIL_PASSWORD: LOGIN.password } });
    expect(await refusal(sender, letter())).toMatchObject({ retryable: true });
    expect(smtp.messages).toEqual([]);
  });

  it.each(['starttls', 'tls'] as const)(
    'keeps the message back when nobody vouches for the %s certificate',
    async (tls) => {
      const smtp = await server({ tls });
      const error = await refusal(channel(smtp.port, { security: tls }), letter());
      expect(error).toMatchObject({ code: 'delivery-unreachable', retryable: true });
      expect(error.hint).toContain('certificate');
      expect(smtp.messages).toEqual([]);
    },
  );

  it('keeps the message back when STARTTLS is wanted and not offered', async () => {
    const smtp = await server();
    expect(await refusal(channel(smtp.port, { security: 'starttls' }), letter())).toMatchObject({
      retryable: true,
    });
    expect(smtp.messages).toEqual([]);
  });

  it('is noticed when the server never greets', async () => {
    const smtp = await server({ script: ['stall-greeting'] });
    const sender = channel(smtp.port, {}, { timeouts: { greeting: 100 } });
    expect(await refusal(sender, letter())).toMatchObject({ code: 'delivery-unreachable', retryable: true });
  });

  it('is noticed when the server falls silent after the message', async () => {
    const smtp = await server({ script: ['stall-data'] });
    const sender = channel(smtp.port, {}, { timeouts: { silence: 300 } });
    expect(await refusal(sender, letter())).toMatchObject({ code: 'delivery-unsure', retryable: true });
  });

  it('after the message leaves it open whether it was taken, when the server hangs up', async () => {
    const smtp = await server({ script: ['stall-data'] });
    const sending = refusal(channel(smtp.port), letter());
    await smtp.stalled();
    await smtp.close();
    expect(await sending).toMatchObject({ code: 'delivery-unsure', retryable: true });
  });

  it('before the message is plain, however slowly the server goes about it', async () => {
    const smtp = await server({ script: ['stall-rcpt'] });
    const sender = channel(smtp.port, {}, { timeouts: { taking: 300 } });
    expect(await refusal(sender, letter())).toMatchObject({ code: 'delivery-unreachable', retryable: true });
  });

  it('is not what a server means that thinks about the message for longer than it took to hand it over', async () => {
    const smtp = await server({ script: [{ at: 'verdict', afterMs: 600 }] });
    await channel(smtp.port, {}, { timeouts: { taking: 300 } }).send(letter(), NEVER);
    expect(smtp.messages).toHaveLength(1);
  });

  it('breaks off at once when the program ends', async () => {
    const smtp = await server({ script: ['stall-data'] });
    const stop = new AbortController();
    const sending = channel(smtp.port).send(letter(), stop.signal);
    await smtp.stalled();
    stop.abort();
    await expect(sending).rejects.toMatchObject({ code: 'delivery-unsure', retryable: true });
  });
});

describe('a name that tries to be more than a name', () => {
  const evil = 'Blue\r\nBcc: thief@example.net\r\n\r\nbody\u2028X-Other: 1\u0000';

  it('cannot add a header, a reader or a body', async () => {
    const smtp = await server();
    const message = letter({
      unit: evil,
      subject: evil,
      cause: evil,
      messageId: '<id@example.org>\r\nBcc: thief@example.net',
      to: { id: evil, name: evil, email: 'ann@example.org' },
    });
    await channel(smtp.port).send(message, NEVER);
    const { mail, raw, to } = await smtp.next();
    expect(to).toEqual(['ann@example.org']);
    expect(mail.bcc).toBeUndefined();
    expect(mail.headers.has('x-other')).toBe(false);
    expect(mail.subject).toBe('Blue Bcc: thief@example.net body X-Other: 1');
    expect(mail.to).toMatchObject({
      value: [{ name: 'Blue Bcc: thief@example.net body X-Other: 1', address: 'ann@example.org' }],
    });
    expect(mail.text?.trimEnd()).toBe('Hard cold comes tonight: −9 °C.\n\nStart by 10:30.');
    expect(raw).not.toMatch(/^bcc:/im);
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
  });

  it('may hold quotes, brackets, commas and letters of any script', async () => {
    const smtp = await server();
    const name = '"Ann", <b@example.net> Žofie, 山田';
    await channel(smtp.port).send(letter({ to: { id: 'ann', name, email: 'ann@example.org' } }), NEVER);
    const { mail, to } = await smtp.next();
    expect(to).toEqual(['ann@example.org']);
    expect(mail.to).toMatchObject({ value: [{ name, address: 'ann@example.org' }] });
  });

  it.each([
    'ann@example.org, thief@example.net',
    'ann@example.org\r\nRCPT TO:<thief@example.net>',
    'Ann <ann@example.org>',
    'group: ann@example.org;',
    'ann',
    '',
  ])('is refused for good as an address: %j', async (email) => {
    const smtp = await server();
    const error = await refusal(channel(smtp.port), letter({ to: { id: 'ann', name: 'Ann', email } }));
    expect(error).toMatchObject({ code: 'delivery-config', retryable: false });
    expect(smtp.connections()).toBe(0);
  });
});

describe('opening e-mail', () => {
  it.each([
    ['an unset variable', { env: 'NOT_SET' }, /NOT_SET/],
    ['a missing file', { file: '/nonexistent/password' }, /\/nonexistent\/password/],
  ])('fails with %s, and says which', (_what, password, named) => {
    expect(() => channel(25, { user: 'drainby', password })).toThrow(named);
  });

  it('fails with a sender that is no address', () => {
    expect(() => channel(25, { from: 'drainby@example.org, thief@example.net' })).toThrow(
      /not one e-mail address/,
    );
  });

  it('says for whom there is no address', async () => {
    const error = await refusal(channel(25), letter({ to: { id: 'ann', name: 'Ann Example', email: null } }));
    expect(error).toMatchObject({ code: 'delivery-config', retryable: false });
    expect(error.message).toContain('ann');
  });
});
