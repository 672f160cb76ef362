import { expect, it, onTestFinished } from 'vitest';
import { startMailServer } from '../kill/mail-server.ts';
import { ROUND_DONE } from './program.ts';
import { ANN, BLUE, CREEK, email, header, inspect, setScene } from './scene.ts';

const UNITS = ['blue', 'red', 'green'].map((id) => ({
  ...BLUE,
  id,
  label: `The ${id} one`,
  contacts: ['ann', 'bob'],
}));
const PEOPLE = [ANN, { ...ANN, id: 'bob', name: 'Bob Example', email: 'bob@example.org' }];

it('two daemons that start together on one new store send each message once', async () => {
  const scene = await setScene({ config: { units: UNITS, people: PEOPLE } });
  const daemons = [scene.start(), scene.start()];
  const reported = await Promise.all(daemons.map((daemon) => daemon.logged(ROUND_DONE)));
  for (const { messages } of reported) expect(messages).toBeLessThanOrEqual(6);
  for (let mail = 0; mail < 6; mail += 1) await scene.smtp.next();
  for (const daemon of daemons) daemon.kill('SIGTERM');
  expect((await Promise.all(daemons.map((daemon) => daemon.ended))).map(({ exit }) => exit)).toEqual([0, 0]);

  const pairs = scene.smtp.messages.map(
    (received) => `${header(received, 'x-drainby-unit')} ${received.to.join()}`,
  );
  expect(pairs.toSorted()).toEqual(
    UNITS.flatMap(({ id }) => PEOPLE.map((p) => `${id} ${p.email}`)).toSorted(),
  );
  const { outbox } = inspect(scene.store);
  expect(outbox.map(({ state }) => state)).toEqual(Array.from({ length: 6 }, () => 'sent'));
  expect(outbox.map(({ attempt }) => attempt)).toEqual(Array.from({ length: 6 }, () => 1));
});

it('two daemons send one list of all units, and one mail where the text is refused', async () => {
  const texts = 'bob.text@example.org';
  const server = await startMailServer({ refused: [texts], putOff: [] });
  onTestFinished(() => server.close());
  const bob = { ...ANN, id: 'bob', email: 'bob@example.org', text: texts, channels: ['text', 'email'] };
  const max = { ...ANN, id: 'max', name: 'Max Example', email: 'max@example.org' };
  const scene = await setScene({
    config: {
      places: [{ ...CREEK, managers: ['max'] }],
      units: UNITS.map((unit) => ({ ...unit, contacts: ['bob'] })),
      people: [bob, max],
      delivery: { email: email(server.port), lease: '5 s' },
    },
  });
  const daemons = [scene.start(), scene.start()];
  await Promise.all([...daemons.map((daemon) => daemon.logged(ROUND_DONE)), server.until(4)]);
  await server.idle();
  for (const daemon of daemons) daemon.kill('SIGTERM');
  expect((await Promise.all(daemons.map((daemon) => daemon.ended))).map(({ exit }) => exit)).toEqual([0, 0]);

  expect(server.copies.map(({ to }) => to).toSorted()).toEqual([
    ...UNITS.map(() => 'bob@example.org'),
    'max@example.org',
  ]);
  expect(new Set(server.copies.map(({ id }) => id)).size).toBe(4);
  const list = server.copies.find(({ to }) => to === 'max@example.org');
  for (const { label } of UNITS) expect(list?.raw).toContain(label);
  const ends = inspect(scene.store).outbox.map(({ person, channel, state, attempt }) =>
    [person, channel, state, attempt].join(' '),
  );
  expect(ends.toSorted()).toEqual([
    ...UNITS.map(() => 'bob email sent 1'),
    ...UNITS.map(() => 'bob text failed 1'),
    ...UNITS.map(() => 'max email sent 1'),
  ]);
});
