import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ROUND_DONE } from './program.ts';
import { ANN, BLUE, COLD_LATER, answers, gated, header, inspect, longLease, setScene } from './scene.ts';

/** What the program promises for an orderly end. */
const LONGEST_STOP_MS = 10_000;

describe('the daemon', () => {
  it('turns a forecast into a mail for its reader, and ends in order when asked to', async () => {
    const { parts: _, ...trailer } = BLUE;
    const scene = await setScene({ config: { units: [trailer] } });
    const daemon = scene.start();
    const received = await scene.smtp.next();
    const { mail, from, to } = received;
    const { startBy } = inspect(scene.store).outbox[0]?.message ?? {};

    expect([from, ...to]).toEqual(['drainby@example.org', 'ann@example.org']);
    expect(header(received, 'x-drainby-kind')).toBe('act');
    expect(header(received, 'x-drainby-unit')).toBe('blue');
    expect(header(received, 'x-drainby-action')).toMatch(/^(drain|winterize)$/);
    expect(header(received, 'x-drainby-cause')).toBeTruthy();
    const stated = Date.parse(header(received, 'x-drainby-start-by')) / 1000;
    expect(stated).toBe(Math.floor(startBy ?? 0));
    expect(mail.messageId).toMatch(/^<[A-Za-z0-9.-]+@example\.org>$/);
    // −15 °C is 5 °F; the reader keeps Pacific time, the place Mountain time.
    for (const body of [mail.text ?? '', mail.html === false ? '' : mail.html]) {
      expect(body).toContain('Blue trailer');
      expect(body).toMatch(/\b5\s°F/u);
      expect(body).not.toMatch(/\d\s°C/u);
      expect(body).toMatch(/\bP[SD]T\b/);
      expect(body).toMatch(/\bM[SD]T\b/);
    }
    expect(mail.html).toMatch(/^<!doctype html>/i);

    const asked = performance.now();
    daemon.kill('SIGTERM');
    const { exit, stdout } = await daemon.ended;
    expect(exit).toBe(0);
    expect(performance.now() - asked).toBeLessThan(LONGEST_STOP_MS);
    expect(stdout).toBe('');
    expect(existsSync(`${scene.store}-wal`)).toBe(false);
    expect(inspect(scene.store).outbox).toMatchObject([{ unit: 'blue', kind: 'act', state: 'sent' }]);
    expect(scene.smtp.messages).toHaveLength(1);
  });

  it(
    'asked to stop while the mail server is silent, lets go of the message and ends in order',
    { timeout: 60_000 },
    async () => {
      const scene = await setScene({ smtp: { script: ['stall-data'] } });
      scene.configure(longLease(scene.smtp.port));
      const daemon = scene.start();
      await scene.smtp.stalled();
      const asked = performance.now();
      daemon.kill('SIGTERM');
      expect((await daemon.ended).exit).toBe(0);
      expect(performance.now() - asked).toBeLessThan(LONGEST_STOP_MS);
      expect(inspect(scene.store).outbox).toMatchObject([{ state: 'waiting', claimed_by: null }]);

      scene.start();
      await scene.smtp.next();
    },
  );

  it('asked to stop while the weather service is silent, breaks off and ends in order', async () => {
    const gate = gated(answers(COLD_LATER));
    const scene = await setScene({ weather: gate.handler });
    const daemon = scene.start();
    await gate.arrived;
    daemon.kill('SIGTERM');
    const { exit, stderr } = await daemon.ended;
    expect(exit).toBe(0);
    expect(stderr).not.toContain('failed');
    expect(inspect(scene.store).rounds).toEqual([]);
  });

  it('gives up at once when it is told to stop a second time', async () => {
    const scene = await setScene({ smtp: { script: ['stall-data'] } });
    scene.configure(longLease(scene.smtp.port));
    const daemon = scene.start();
    await scene.smtp.stalled();
    daemon.kill('SIGTERM');
    await daemon.logged('Stopping: what is in hand is finished first.');
    const again = performance.now();
    daemon.kill('SIGTERM');
    const { exit } = await daemon.ended;
    expect(exit).not.toBe(0);
    expect(exit).not.toBeNull();
    // The first signal alone would have waited seconds for the mail server.
    expect(performance.now() - again).toBeLessThan(2000);
  });
});

describe('asked to read its config again', () => {
  it('takes up a new unit at once', async () => {
    const scene = await setScene();
    const daemon = scene.start();
    expect(header(await scene.smtp.next(), 'x-drainby-unit')).toBe('blue');
    await daemon.logged(ROUND_DONE);

    scene.configure({ units: [BLUE, { ...BLUE, id: 'red', label: 'Red van', kind: 'van' }] });
    daemon.kill('SIGHUP');
    await daemon.logged('The config was read again and is in force.');
    expect(header(await scene.smtp.next(), 'x-drainby-unit')).toBe('red');
    daemon.kill('SIGTERM');
    expect((await daemon.ended).exit).toBe(0);
    expect(inspect(scene.store).units.map(({ unit }) => unit)).toEqual(['blue', 'red']);
    expect(scene.smtp.messages).toHaveLength(2);
  });

  it('says every mistake of a broken one, keeps the old one, and takes the next good one', async () => {
    const scene = await setScene();
    const daemon = scene.start();
    await scene.smtp.next();

    scene.configure({ people: [{ ...ANN, phone: '1' }], units: [{ ...BLUE, place: 'nowhere' }] });
    daemon.kill('SIGHUP');
    const { error } = await daemon.logged('The new config cannot be used; the old one stays in force.');
    expect(error).toMatch(/drainby\.yaml:\d+:\d+ people\[0\]\.phone: /);
    expect(error).toMatch(/drainby\.yaml:\d+:\d+ units\[0\]\.place: /);

    scene.configure({ units: [{ ...BLUE, id: 'red' }] });
    daemon.kill('SIGHUP');
    await daemon.logged('The config was read again and is in force.');
    expect(header(await scene.smtp.next(), 'x-drainby-unit')).toBe('red');
    daemon.kill('SIGTERM');
    expect((await daemon.ended).exit).toBe(0);
  });
});
