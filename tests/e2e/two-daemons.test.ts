import { expect, it } from 'vitest';
import { ROUND_DONE } from './program.ts';
import { ANN, BLUE, header, inspect, setScene } from './scene.ts';

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
