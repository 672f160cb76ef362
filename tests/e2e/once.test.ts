import { describe, expect, it } from 'vitest';
import { parseInstant, isoSecond } from '../../src/quantity/instant.ts';
import { startSmtp } from '../support/smtp.ts';
import {
  BLUE,
  COLD_LATER,
  CREEK,
  MEADOW,
  MILD,
  answers,
  coldComes,
  email,
  header,
  inspect,
  setScene,
  type SceneOptions,
} from './scene.ts';

const NOW = parseInstant('2026-11-25T18:00:00Z') ?? Number.NaN;
const now = (): number => NOW;
const ONCE = ['--once', '--now', isoSecond(NOW)];

const pinned = (options: SceneOptions = {}) => setScene({ weather: coldComes(now), ...options });

interface Answer {
  readonly places: readonly { readonly id: string; readonly problem: { readonly code: string } | null }[];
  readonly units: readonly { readonly id: string; readonly advice: { readonly action: string } | null }[];
}

describe('one round', () => {
  it('sends what is new, and nothing when it is run again on the same', async () => {
    const scene = await pinned();
    const first = await scene.run('start', ...ONCE);
    expect([first.exit, first.stdout]).toEqual([0, '']);
    expect(scene.smtp.messages).toHaveLength(1);
    expect((await scene.run('start', ...ONCE)).exit).toBe(0);
    expect(scene.smtp.messages).toHaveLength(1);
    expect(inspect(scene.store).outbox).toHaveLength(1);
  });

  it(
    'ends with 3 when the source is down, and a look says unknown, never nothing',
    { timeout: 60_000 },
    async () => {
      const scene = await pinned();
      await scene.weather.close();
      const [round, { exit, stdout }, told] = await Promise.all([
        scene.run('start', ...ONCE),
        scene.run('check', '--json', '--now', isoSecond(NOW)),
        scene.run('check', '--now', isoSecond(NOW)),
      ]);
      expect([round.exit, exit, told.exit]).toEqual([3, 3, 3]);
      const answer = JSON.parse(stdout) as Answer;
      expect(answer.units).toMatchObject([{ id: 'blue', advice: null, chanceOfDamage: null, zones: null }]);
      expect(answer.places).toMatchObject([{ forecast: null, problem: { code: 'source-unreachable' } }]);
      expect(stdout).not.toMatch(/"action"|"nothing"/);
      expect(told.stdout).toMatch(/Blue trailer\s*│ unknown\s*│ —\s*│ unknown/);
      // Without any earlier forecast the reader hears of it at once.
      expect(scene.smtp.messages.map((received) => header(received, 'x-drainby-kind'))).toEqual([
        'no-forecast',
      ]);
    },
  );

  it('answers one place when the other is broken, and ends with 3, or 10 where action counts', async () => {
    const one = answers((hour, point) => (point === 0 ? COLD_LATER(hour, point) : null), { now });
    const scene = await pinned({
      weather: one,
      config: {
        places: [CREEK, MEADOW],
        units: [BLUE, { ...BLUE, id: 'red', place: 'meadow' }],
      },
    });
    const look = ['--now', isoSecond(NOW)];
    const [{ exit, stdout }, failing] = await Promise.all([
      scene.run('check', '--json', ...look),
      scene.run('check', '--fail-on-action', ...look),
    ]);
    expect([exit, failing.exit]).toEqual([3, 10]);
    const { places, units } = JSON.parse(stdout) as Answer;
    expect(places).toMatchObject([
      { id: 'creek', problem: null },
      { id: 'meadow', forecast: null, problem: { code: 'forecast-empty' } },
    ]);
    expect(units.map(({ id }) => id)).toEqual(['blue', 'red']);
    expect(units[0]?.advice?.action).toMatch(/^(drain|winterize)$/);
    expect(units[1]?.advice).toBeNull();
    expect((await scene.run('start', ...ONCE)).exit).toBe(3);
    const told = scene.smtp.messages.map((received) => header(received, 'x-drainby-unit'));
    expect(told.toSorted()).toEqual(['blue', 'red']);
  });

  it('with --fail-on-action ends with 10 for a unit in danger and 0 for one that is not', async () => {
    const scene = await pinned();
    const look = ['--fail-on-action', '--now', isoSecond(NOW)];
    expect((await scene.run('check', ...look)).exit).toBe(10);
    scene.weather.respondWith(answers(MILD, { now }));
    expect((await scene.run('check', ...look)).exit).toBe(0);
  });

  it('ends with 4 when the mail server is down, keeps the message, and a later run delivers it', async () => {
    const scene = await pinned();
    await scene.smtp.close();
    const { exit, stderr } = await scene.run('start', ...ONCE);
    expect(exit).toBe(4);
    expect(stderr).toContain('The message could not be sent and will be tried again.');
    const [waiting] = inspect(scene.store).outbox;
    expect(waiting).toMatchObject({ state: 'waiting', attempt: 1 });

    const back = await startSmtp();
    try {
      scene.configure({ delivery: { email: email(back.port) } });
      const later = ['--once', '--now', isoSecond(NOW + 60)];
      expect((await scene.run('start', ...later)).exit).toBe(0);
      expect(back.messages.map(({ mail }) => mail.messageId)).toEqual([waiting?.message.messageId]);
      expect(inspect(scene.store).outbox).toMatchObject([{ state: 'sent', attempt: 2 }]);
    } finally {
      await back.close();
    }
  });

  it('ends with 4 for a message that was refused for good, and 3 comes first', async () => {
    const refusal = { at: 'rcpt', code: 550, text: 'no such person' } as const;
    const scene = await pinned({ smtp: { script: [refusal, refusal, refusal] } });
    expect((await scene.run('start', ...ONCE)).exit).toBe(4);
    expect(inspect(scene.store).outbox).toMatchObject([{ state: 'failed' }]);
    await scene.weather.close();
    scene.configure({ units: [{ ...BLUE, id: 'red' }] });
    // The last good answer serves for twelve hours.
    expect((await scene.run('start', ...ONCE)).exit).toBe(4);
    const later = ['--once', '--now', isoSecond(NOW + 13 * 3600)];
    scene.configure({ units: [{ ...BLUE, id: 'green' }] });
    expect((await scene.run('start', ...later)).exit).toBe(3);
    expect(inspect(scene.store).outbox).toMatchObject([
      { state: 'failed' },
      { unit: 'red', state: 'failed' },
      { unit: 'green', state: 'failed' },
    ]);
  });
});
