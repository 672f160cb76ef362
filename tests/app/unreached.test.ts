/** What those who look after a place hear of people whom nothing has reached. Pure but for the config that is read. */
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { contactsOf } from '../../src/app/contacts.ts';
import { logUnreached, remembered, unreachedNotices } from '../../src/app/unreached.ts';
import { waysOut } from '../../src/app/ways-out.ts';
import { EMPTY_MEMORY, type Memory } from '../../src/decision/memory.ts';
import type { UnreachedPerson } from '../../src/store/store.ts';
import { NOW, letter } from '../support/letter.ts';
import { recordingLog } from '../support/outbox.ts';
import { ANN, CREEK, configOf, probeUnit, scenario } from '../support/scenario.ts';

const PEOPLE = ['ann', 'bob', 'cleo'].map((id) => ({
  ...ANN,
  id,
  name: `${id} Example`,
  email: `${id}@example.org`,
}));
const SERIES = { 'series.csv': 'time,temperatureC\n' };

function configWith(
  managers: readonly string[],
  contacts: readonly string[] = ['ann'],
  people: readonly object[] = PEOPLE,
) {
  const delivery = {
    file: { directory: './sent' },
    console: true,
    webhook: { url: 'https://hook.example.org/x' },
  };
  const places = [{ ...CREEK, managers }];
  return scenario(configOf({ units: [probeUnit({ contacts })], places, people, delivery }), SERIES);
}

const EPISODE = { id: 'blue.2026', since: NOW - 3600 };
const RUNNING: Memory = { ...EMPTY_MEMORY, episode: EPISODE };

function lost(over: Partial<UnreachedPerson> = {}): UnreachedPerson {
  return {
    unit: 'blue',
    person: 'ann',
    kind: 'act',
    action: 'drain',
    episode: 'blue.2026',
    at: NOW - 60,
    error: 'no such mailbox',
    trying: false,
    manager: false,
    ...over,
  };
}

function notices(managers: readonly string[], one: UnreachedPerson, memory: Memory = RUNNING) {
  const config = configWith(managers);
  const [unit] = config.units;
  return unreachedNotices({ config, unit: unit!, memory, unreached: [one], now: NOW });
}

describe('managers', () => {
  it('hear of an owner whom nothing has reached, but not of themselves', () => {
    expect(notices(['bob', 'ann'], lost())).toMatchObject([
      {
        kind: 'unreached',
        to: ['bob'],
        about: { person: 'ann', name: 'ann Example', kind: 'act', error: 'no such mailbox' },
      },
    ]);
    expect(notices(['ann'], lost())).toEqual([]);
    expect(notices([], lost())).toEqual([]);
  });

  it('hear of a lost call though they heard of a lost heads-up before it', () => {
    const first = notices(['bob'], lost({ kind: 'heads-up', action: 'nothing' }));
    expect(first).toHaveLength(1);
    const memory = remembered(RUNNING, first, NOW);
    expect(notices(['bob'], lost({ kind: 'heads-up', action: 'nothing' }), memory)).toEqual([]);
    expect(notices(['bob'], lost(), memory)).toMatchObject([{ action: 'drain', about: { kind: 'act' } }]);
  });

  it('hear of each person once in an episode, whatever else is lost', () => {
    const first = notices(['bob'], lost());
    const memory = remembered(RUNNING, first, NOW);
    expect(
      notices(['bob'], lost({ kind: 'late', action: 'winterize', episode: 'blue.2026.2' }), memory),
    ).toEqual([]);
    expect(notices(['bob'], lost({ person: 'cleo' }), memory)).toHaveLength(1);
    const next = { ...memory, episode: { id: 'blue.2027', since: NOW } };
    expect(notices(['bob'], lost({ episode: 'blue.2027' }), next)).toHaveLength(1);
  });

  it('do not hear of what is over, of what only calms, or of what another manager missed', () => {
    expect(notices(['bob'], lost(), EMPTY_MEMORY)).toEqual([]);
    expect(notices(['bob'], lost({ kind: 'frozen' }), EMPTY_MEMORY)).toHaveLength(1);
    expect(notices(['bob'], lost({ kind: 'all-clear' }))).toEqual([]);
    expect(notices(['bob'], lost({ kind: 'unreached', person: 'cleo' }))).toEqual([]);
    expect(notices(['bob'], lost({ person: 'cleo', manager: true }))).toEqual([]);
  });
});

it('whoever is contact and manager is told as an owner, once; a manager of another place is not', () => {
  const config = configWith(['bob', 'ann']);
  expect(
    contactsOf(config, config.units[0]!, { record: {}, now: 0 }).map(({ person, role }) => [person, role]),
  ).toEqual([
    ['ann', 'owner'],
    ['bob', 'manager'],
  ]);
});

it('one who cannot be reached is in the log once, and again when more units are', () => {
  const log = recordingLog();
  const first = logUnreached(log, [lost(), lost({ unit: 'red' })], new Map());
  logUnreached(log, [lost(), lost({ unit: 'red' })], first);
  logUnreached(log, [lost()], first);
  expect(log.lines.map(({ level, fields }) => [level, fields['person'], fields['units']])).toEqual([
    ['error', 'ann', ['blue', 'red']],
    ['error', 'ann', ['blue']],
  ]);
});

describe('ways out', () => {
  const addressed = {
    episode: 'e',
    message: letter(),
    now: NOW,
    useBefore: NOW + 86_400,
    canWait: true,
    gathers: true,
  };
  const ways = (person: object, over: Partial<typeof addressed> = {}) => {
    const config = configWith(['bob'], ['ann'], [{ ...PEOPLE[0], ...person }, ...PEOPLE.slice(1)]);
    return waysOut(config.people[0]!, { ...addressed, ...over });
  };

  it('are all at once where no order is stated; what a program takes in is never gathered', () => {
    expect(ways({}).map(({ channel, ways: rest, gathers }) => [channel, rest, gathers])).toEqual([
      ['webhook', undefined, false],
      ['file', undefined, true],
      ['console', undefined, true],
    ]);
  });

  it('wake nobody for work that begins half a day after the quiet hours or later, though its way is the urgent one', () => {
    const quiet = { quiet: '22:00-07:00' };
    const config = configWith(['bob'], ['ann'], [{ ...PEOPLE[0], ...quiet }, ...PEOPLE.slice(1)]);
    const person = config.people[0]!;
    // 05:00 there: the quiet hours end two hours later.
    const now = DateTime.fromISO('2026-11-20T05:00', { zone: person.timeZone }).toSeconds();
    const from = (kind: 'act' | 'last-call', hours: number): number => {
      const startBy = now + hours * 3600;
      const message = { ...letter(), kind, startBy };
      const of = { ...addressed, message, now, useBefore: startBy, canWait: false };
      return (waysOut(person, of)[0]!.notBefore - now) / 3600;
    };
    expect([from('act', 24), from('act', 14), from('act', 13.9), from('last-call', 24)]).toEqual([
      2, 2, 0, 0,
    ]);
  });

  it('are one after the other where an order is stated, another one for what cannot wait', () => {
    const person = { channels: ['file', 'console'], urgent: ['console', 'webhook'] };
    expect(ways(person)).toMatchObject([
      { channel: 'file', ways: ['console'], urgent: false, patienceEnds: NOW + 6 * 3600 },
    ]);
    expect(ways(person, { canWait: false })).toMatchObject([
      { channel: 'console', ways: ['webhook'], urgent: true, patienceEnds: NOW + 1800 },
    ]);
  });
});
