/** One damaged message in the database: `check` and the exit codes hear of it, and everybody else is told. */
import Database from 'better-sqlite3';
import { expect, it } from 'vitest';
import { ANN, BLUE, inspect, setScene } from './scene.ts';

const BEN = { ...ANN, id: 'ben', name: 'Ben Example', email: 'ben@example.org' };

it(
  'one damaged message stops no other, and is sent once a round has put it in anew',
  { timeout: 240_000 },
  async () => {
    const scene = await setScene({
      config: { units: [{ ...BLUE, contacts: ['ann', 'ben'] }], people: [ANN, BEN] },
    });
    expect((await scene.run('start', '--once')).exit).toBe(0);
    const database = new Database(scene.store);
    database.exec("update outbox set state = 'waiting', due_at = 0, attempt = 0, settled_at = null");
    database.exec("update outbox set message = '{' where person = 'ann'");
    database.close();

    const later = new Database(scene.store);
    later.exec('update outbox set due_at = unixepoch() + 3600');
    expect((await scene.run('start', '--once')).exit).toBe(5);
    later.exec('update outbox set due_at = 0');
    later.close();

    const looked = await scene.run('check');
    expect([looked.exit, looked.stdout]).toEqual([5, expect.stringMatching(/one message .* cannot be read/)]);
    const json = JSON.parse((await scene.run('check', '--json')).stdout) as { delivery: object };
    expect(json.delivery).toMatchObject({ waiting: 2, unreadable: 1 });

    const tried = await scene.run('start', '--once');
    expect([tried.exit, tried.stderr]).toEqual([4, expect.stringContaining('"code":"store-damaged"')]);
    expect(scene.smtp.messages.map(({ to }) => to)).toEqual([
      ['ann@example.org'],
      ['ben@example.org'],
      ['ben@example.org'],
    ]);
    expect((await scene.run('check')).exit).toBe(4);

    expect((await scene.run('start', '--once')).exit).toBe(0);
    expect(scene.smtp.messages).toHaveLength(4);
    expect(inspect(scene.store).outbox.map(({ state }) => state)).toEqual(['sent', 'sent']);
  },
);
