/** Warnings that did not arrive: what a later run does about them, and how it ends. */
import { describe, expect, it } from 'vitest';
import { parseInstant, isoSecond } from '../../src/quantity/instant.ts';
import { startSmtp } from '../support/smtp.ts';
import { ANN, BLUE, COLD_LATER, answers, coldComes, email, header, inspect, setScene } from './scene.ts';

const NOW = parseInstant('2026-11-25T18:00:00Z') ?? Number.NaN;
const at = (hour: number): string[] => ['--once', '--now', isoSecond(NOW + hour * 3600)];
const REFUSAL = { at: 'rcpt', code: 550, text: 'no such person' } as const;
const BOB = { ...ANN, id: 'bob', name: 'Bob Example', email: 'bob@example.org' };

const pinned = (smtp = {}) => setScene({ weather: coldComes(() => NOW), smtp });

describe('a warning that was refused for good', () => {
  it('goes to the mended address at the next run; until then every run ends with 4', async () => {
    const scene = await pinned({ script: [REFUSAL] });
    expect((await scene.run('start', ...at(0))).exit).toBe(4);
    expect((await scene.run('start', ...at(1))).exit).toBe(4);
    expect(scene.smtp.connections()).toBe(1);

    scene.configure({ people: [{ ...ANN, email: 'ann.example@example.org' }] });
    expect((await scene.run('start', ...at(2))).exit).toBe(0);
    expect(scene.smtp.messages.map((m) => [m.to.join(), header(m, 'x-drainby-kind')])).toEqual([
      ['ann.example@example.org', 'act'],
    ]);
    expect((await scene.run('start', ...at(3))).exit).toBe(0);
    expect(scene.smtp.messages).toHaveLength(1);
  });

  it('is tried again at the same address some hours later', async () => {
    const scene = await pinned({ script: [REFUSAL] });
    expect((await scene.run('start', ...at(0))).exit).toBe(4);
    expect((await scene.run('start', ...at(7))).exit).toBe(0);
    expect(inspect(scene.store).outbox).toMatchObject([{ kind: 'act', state: 'sent', attempt: 2 }]);
  });
});

it('a contact who is added while the advice holds hears of it at the next run, and the others not again', async () => {
  const scene = await pinned();
  await scene.run('start', ...at(0));
  scene.configure({ people: [ANN, BOB], units: [{ ...BLUE, contacts: ['ann', 'bob'] }] });
  for (const hour of [1, 2]) expect((await scene.run('start', ...at(hour))).exit).toBe(0);
  expect(scene.smtp.messages.map((m) => [m.to.join(), header(m, 'x-drainby-kind')])).toEqual([
    ['ann@example.org', 'act'],
    ['bob@example.org', 'act'],
  ]);
});

it('what waits for the mail server outlives the loss of the forecast, and its return is told', async () => {
  const scene = await pinned();
  await scene.smtp.close();
  expect((await scene.run('start', ...at(0))).exit).toBe(4);
  scene.weather.respondWith(answers(() => null, { now: () => NOW }));
  // Thirteen hours without a forecast are more than the twelve of the source's age limit.
  expect((await scene.run('start', ...at(13))).exit).toBe(3);
  const back = await startSmtp();
  try {
    scene.configure({ delivery: { email: email(back.port) } });
    scene.weather.respondWith(answers(COLD_LATER, { now: () => NOW }));
    expect((await scene.run('start', ...at(14))).exit).toBe(0);
    const kinds = back.messages.map((m) => header(m, 'x-drainby-kind'));
    expect(kinds).toContain('act');
    expect(back.messages.map((m) => m.mail.text ?? '').join()).toContain('The forecast is back.');
  } finally {
    await back.close();
  }
});
