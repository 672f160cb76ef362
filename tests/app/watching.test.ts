/** The weekly line: when, to whom, and what it says. */
import { utimesSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { watchWeek } from '../../src/decision/watch-week.ts';
import { openStore } from '../../src/store/open.ts';
import type { Config } from '../../src/config/config.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import type { ClaimedMessage } from '../../src/store/store.ts';
import { iso, seconds } from '../support/instants.ts';
import { ANN, configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

/** Monday 23 November 2026, 08:00 in Denver. */
const MONDAY = '2026-11-23T15:00:00Z';

interface Setting {
  readonly hours?: number;
  readonly delivery?: object;
}

function load(person: object = {}, { hours = 300, delivery }: Setting = {}): Config {
  const series = csvOf({
    start: '2026-11-20T15:00:00Z',
    temperatureC: Array.from({ length: hours }, () => 4),
  });
  const people = [{ ...ANN, stillWatching: true, ...person }];
  const around = configOf({ units: [probeUnit()], people, ...(delivery === undefined ? {} : { delivery }) });
  return scenario(around, { 'series.csv': series });
}

async function claimed(config: Config, now: string): Promise<readonly ClaimedMessage[]> {
  await roundAt(config, now);
  const store = await openStore(config.store.path);
  try {
    const claim = { now: seconds(now), leaseSeconds: 60, owner: 'test', limit: 10 };
    const { claimed: taken } = await store.claimDue(claim);
    for (const { rowId, attempt } of taken)
      await store.settle({ rowId, owner: 'test', attempt, settlement: { outcome: 'sent' }, now: claim.now });
    return taken;
  } finally {
    await store.close();
  }
}

async function sent(config: Config, now: string): Promise<readonly OutgoingMessage[]> {
  return (await claimed(config, now)).map(({ message }) => message);
}

describe('the weekly line', () => {
  it('is due from Monday 08:00 of the reader’s zone for two days, and has the name of its week', () => {
    const at = (text: string) => {
      const week = watchWeek('America/Denver', seconds(text));
      return week === null ? null : `${week.id} ${iso(week.until)}`;
    };
    expect(at('2026-11-23T14:59:59Z')).toBeNull();
    expect(at(MONDAY)).toBe('2026-W48 2026-11-25T15:00:00Z');
    expect(at('2026-11-25T15:00:00Z')).toBeNull();
    // The first days of 2027 belong to the last week of 2026 (ISO 8601: the week of the year's first Thursday is W01).
    expect(at('2026-12-28T16:00:00Z')).toMatch(/^2026-W53/);
  });

  it('goes out once in its week, with the units, the low and the age of the forecast', async () => {
    const config = load();
    expect(await sent(config, '2026-11-23T14:00:00Z')).toEqual([]);
    const [message, ...more] = await sent(config, MONDAY);
    expect(more).toEqual([]);
    expect(message).toMatchObject({ kind: 'watching', cause: 'all-fresh', to: { id: 'ann' }, unit: 'none' });
    expect(message?.subject).toBe('Still watching 1 unit');
    expect(message?.text).toMatch(/blue \(creek\): .*nothing to do now; next low 39\s°F/u);
    expect(await sent(config, '2026-11-23T16:00:00Z')).toEqual([]);
  });

  it('says what is not well in place of that all is', async () => {
    const [message] = (await sent(load({}, { hours: 24 }), MONDAY)).filter(({ kind }) => kind === 'watching');
    expect(message).toMatchObject({
      cause: 'not-fresh',
      subject: 'Watching 1 unit, but not everything is well',
    });
    expect(message?.text).toContain('no forecast for 1 place');
    expect(message?.text).toContain('unknown is not safe');
  });

  it('names a forecast that has not changed for more than a day, whatever its source allows', async () => {
    const config = load();
    const then = seconds('2026-11-20T15:00:00Z');
    utimesSync(join(dirname(config.file), 'series.csv'), then, then);
    const [message] = await sent(config, MONDAY);
    expect(message).toMatchObject({ cause: 'not-fresh' });
    expect(message?.text).toContain('has not changed for more than a day');
    expect(message?.text).toMatch(/forecast 72 h old/);
  });

  it('asks for a look at a unit that may have frozen, also in the round that finds it', async () => {
    const series = csvOf({
      start: '2026-11-20T15:00:00Z',
      temperatureC: Array.from({ length: 300 }, (_, hour) => (hour < 70 ? -12 : 4)),
    });
    const config = scenario(configOf({ units: [probeUnit()], people: [{ ...ANN, stillWatching: true }] }), {
      'series.csv': series,
    });
    const text = (await sent(config, MONDAY)).find(({ kind }) => kind === 'watching')?.text;
    expect(text).toMatch(/may have frozen; to do: no pressure, thaw it and check it first/);
    expect(text).not.toContain('nothing to do now');
  });

  it('is for those alone who want it', async () => {
    expect(await sent(load({ stillWatching: false }), MONDAY)).toEqual([]);
  });

  it('goes by the first of the ways that the reader stated, with the address that a text message needs', async () => {
    const delivery = {
      email: { host: '127.0.0.1', port: 2525, security: 'none', from: 'drainby@example.org' },
      file: { directory: './sent' },
    };
    const person = { text: '15555550100@text.example.org', channels: ['text', 'file'] };
    const taken = await claimed(load(person, { delivery }), MONDAY);
    expect(taken.map(({ channel, message }) => [channel, message.to.text, message.messageId])).toEqual([
      ['text', person.text, '<watching.2026-W48.ann@example.org>'],
    ]);
  });

  it('waits for the end of the quiet hours of its reader', async () => {
    const config = load({ quiet: '22:00-09:30' });
    expect(await sent(config, MONDAY)).toEqual([]);
    expect(await sent(config, '2026-11-23T16:29:59Z')).toEqual([]);
    expect(await sent(config, '2026-11-23T16:30:00Z')).toMatchObject([{ kind: 'watching' }]);
  });
});
