/** One message for many units of one reader. */
import { outsideAction } from '../../src/decision/advice.ts';
import { describe, expect, it } from 'vitest';
import type { MessageKind, Notice } from '../../src/decision/memory.ts';
import { septets } from '../../src/message/gsm.ts';
import { listMessage } from '../../src/message/list.ts';
import type { OutgoingMessage, UnitFacts } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, DRAIN, facts, notice, reader, WINTERIZE } from './facts.ts';

interface Made {
  readonly kind?: MessageKind;
  readonly notice?: Partial<Notice>;
  readonly facts?: Partial<UnitFacts>;
  readonly place?: string;
}

function message(id: string, made: Made = {}): OutgoingMessage {
  const { kind = 'act', place = 'Gravel lot' } = made;
  const told = notice(kind, made.notice);
  const of = facts({
    unit: { id, label: `Unit ${id}`, attended: false },
    place: { id: place.toLowerCase(), label: place, timeZone: 'America/Denver' },
    ...made.facts,
  });
  return {
    messageId: `<${id}@example.org>`,
    kind,
    unit: id,
    ...outsideAction(told.action),
    startBy: told.startBy,
    cause: 'cold-ahead',
    to: { id: 'sol', name: 'Sol Example', email: 'sol@example.org' },
    createdAt: of.asOf,
    place: of.place.id,
    useBefore: told.useBefore,
    ...renderMessage(told, of, reader()),
  };
}

const early = at('2026-11-26T00:00:00Z');
const MANY = [
  message('a'),
  message('b', { notice: { startBy: early, action: 'winterize' }, facts: { advice: WINTERIZE } }),
  message('c', { kind: 'late', notice: { startBy: early - 90_000 } }),
  message('d', { kind: 'frozen', notice: { action: 'nothing', startBy: null } }),
  message('e', { kind: 'all-clear', notice: { action: 'nothing', startBy: null } }),
  message('f', { notice: { startBy: null }, place: 'Lake drive' }),
];

describe('a list', () => {
  const list = listMessage(MANY);

  it('puts first what has frozen, then what is late, then by the time to start by, then the rest', () => {
    expect(list.unit).toBe('d,c,b,a,f,e');
    const order = ['d', 'c', 'b', 'a', 'e'].map((id) => list.text.lastIndexOf(`Unit ${id},`));
    expect(order).toEqual(order.toSorted((x, y) => x - y));
    const html = ['d', 'c', 'b', 'a', 'e'].map((id) => list.html.lastIndexOf(`Unit ${id}<`));
    expect(html).toEqual(html.toSorted((x, y) => x - y));
    expect([...order, ...html].every((at_) => at_ > 0)).toBe(true);
  });

  it('says in its subject how many units need work and which comes first', () => {
    const three = listMessage([message('a'), message('b', { notice: { startBy: early } }), MANY[4]!]);
    expect(three.subject).toBe('2 units need work, first by Wed 25 Nov, 17:00 MST: Unit b, drain');
    expect(list.subject).toBe('5 units need work, first now: Unit d, may have frozen: do not pressurise');
    expect(listMessage([MANY[4]!]).subject).toBe('1 unit: nothing to do now');
  });

  it('has one line for each unit: by when, which, what, how sure and why', () => {
    const text = list.text.replace(/\s+/g, ' ');
    expect(text).toContain(
      '- Wed 25 Nov, 17:00 MST: Unit b, winterize (antifreeze). Over 98 % chance of damage within 72 h if left; outside shower valve first, about Fri 02:20. About 1 h 30 min of work; in use; id b.',
    );
    expect(text).toContain('- Now: Unit c, late: drain now.');
    expect(text).toContain('- As soon as you can: Unit f, drain.');
    expect(list.text.split('\n').every((line) => Array.from(line).length <= 78)).toBe(true);
    expect(list.html.match(/<tr>/g)).toHaveLength(MANY.length + 2);
  });

  it('groups by place where there are several', () => {
    expect(list.text).toMatch(/^Gravel lot\n-{10}$/m);
    expect(list.text).toMatch(/^Lake drive\n-{10}$/m);
    expect(list.text.indexOf('Unit e')).toBeLessThan(list.text.indexOf('Lake drive\n'));
  });

  it('says which forecasts it rests on, once each, and short cautions', () => {
    expect(list.text.replace(/\s+/g, ' ').match(/The forecast of example was issued/g)).toHaveLength(1);
    const text = list.text.replace(/\s+/g, ' ');
    for (const words of ['come first', 'without a flame', 'standing aside', 'potable', '40 psi'])
      expect(text).toContain(words);
    expect(text).not.toContain('Carbon monoxide');
    expect(listMessage([message('a')]).text).not.toContain('psi');
  });

  it('is one message to one person, of use for as long as its soonest part', () => {
    expect(list).toMatchObject({
      messageId: '<a@example.org>',
      kind: 'list',
      action: 'winterize',
      startBy: early - 90_000,
      to: { id: 'sol' },
      useBefore: Math.min(...MANY.map(({ useBefore }) => useBefore ?? Infinity)),
    });
    expect(list).not.toHaveProperty('place');
    expect(listMessage([message('a')])).toMatchObject({ place: 'gravel lot' });
  });

  it('has a short form that names what it can', () => {
    const hundred = Array.from({ length: 100 }, (_, i) => message(`u${i}`));
    const { short = '' } = listMessage(hundred);
    expect(short).toMatch(/^100 units need work, first by Thu 26 Nov 15:10 MST: Unit u0, drain\. Thu 26 Nov/);
    expect(septets(short)).toBeLessThanOrEqual(160);
    expect(septets(short)).toBeGreaterThan(100);
  });

  it('takes messages of an older version, too', () => {
    const { line: _, ...old } = message('a');
    const { text, subject } = listMessage([old, message('b')]);
    expect(subject).toMatch(/^2 units need work/);
    expect(text).toContain('2026-11-26T22:10:00Z: a, drain.');
  });

  it('says what the work takes, how the unit stands and whose it is', () => {
    const owners = ['Ann Example', 'Bob Example'];
    const made = listMessage([
      message('a', { facts: { owners, waterState: 'drained' } }),
      message('e', { kind: 'all-clear', notice: { action: 'nothing', startBy: null }, facts: { owners } }),
    ]);
    const text = made.text.replace(/\s+/g, ' ');
    expect(text).toContain('About 45 min of work; drained; Ann Example and Bob Example; id a.');
    expect(text).toContain(
      'Unit e, all clear. Over 98 % chance of damage within 72 h if left. In use; Ann Example',
    );
    expect(made.html.replace(/\s+|\u00A0/g, ' ')).toContain('45 min of work; drained; Ann Example and Bob');
  });

  it('names who was not reached, in the row, the subject and the short form', () => {
    const unreached = [
      { person: 'bob', name: 'Bob Example', kind: 'act', error: 'no such mailbox' },
    ] as const;
    const of = { facts: { unreached } };
    const missed = message('b', { kind: 'unreached', notice: { startBy: early + 200_000 }, ...of });
    const made = listMessage([message('a'), missed]);
    expect(made.text.replace(/\s+/g, ' ')).toContain('Unit b, Bob Example not reached: drain.');
    expect(made.subject).toBe(
      '2 units need work, first by Thu 26 Nov, 15:10 MST: Unit a, drain; Bob Example not reached',
    );
    expect(made.short).toContain('Bob Example not reached');
    expect(listMessage([missed]).subject).toMatch(
      /^1 unit needs work, .*: Unit b, Bob Example not reached: drain$/,
    );
    const both = listMessage([message('b'), missed]);
    expect(both.subject).toMatch(/^1 unit needs work, .*: Unit b, drain; Bob Example not reached$/);
    const three = ['Cleo', 'Dan', 'Eve'].map((name, i) =>
      message(`u${i}`, {
        kind: 'unreached',
        facts: { unreached: [{ ...unreached[0], person: name, name }] },
      }),
    );
    expect(listMessage([message('0'), ...three]).subject).toMatch(/; 3 people not reached$/);
  });

  it('lets no label break out of its page', () => {
    const hostile = message('a', { facts: { unit: { id: 'a', label: '<script>"', attended: false } } });
    expect(listMessage([hostile]).html).not.toContain('<script>');
  });

  it('of nothing is a bug', () => {
    expect(() => listMessage([])).toThrow(RangeError);
  });
});

it('a list names work on some circuits as such', () => {
  const advice = { ...DRAIN, action: 'winterize', method: 'antifreeze', circuits: ['trap-kitchen'] } as const;
  const traps = message('a', { notice: { action: 'winterize' }, facts: { advice } });
  expect(traps.line?.what).toBe('winterize the traps only (kitchen)');
});
