/** The order in which every message says what it says, and that the plain reading comes before degree-hours. */
import { describe, expect, it } from 'vitest';
import type { Advice } from '../../src/decision/advice.ts';
import { MESSAGE_KINDS, type MessageKind } from '../../src/decision/memory.ts';
import type { UnitFacts } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, course, CHANCES, DRAIN, EPISODE, facts, notice, reader, WINTERIZE } from './facts.ts';

const FULL: Partial<UnitFacts> = {
  course: course(),
  limit: { kind: 'ice', kelvinHours: 3, inWind: true },
  travelMinutes: 40,
  chanceAhead: 0.7,
  episode: EPISODE,
  service: {
    waterShutAt: at('2026-11-27T00:00:00Z'),
    dumpShutAt: at('2026-11-27T00:00:00Z'),
    because: 'date',
    onBoardLitres: 136,
    perDayLitres: 45,
  },
  unreached: [{ person: 'bob', name: 'Bob Example', kind: 'act', error: 'The mailbox is full.' }],
};

/** The headings that the issue names, in its order; the first line says what to do and by when. */
const ORDER = ['How sure', 'Why', 'If not', 'What else', 'Data', 'Cautions'];

function positions(text: string, words: readonly string[]): number[] {
  return words.map((word) => text.search(new RegExp(`(^|>)${word}\\b`, 'm')));
}

function rising(numbers: readonly number[]): boolean {
  return numbers.every((n, i) => n >= 0 && n > (numbers[i - 1] ?? -1));
}

function flat(text: string): string {
  return text.replace(/\s+/g, ' ');
}

describe.each(MESSAGE_KINDS)('every message, here %s', (kind: MessageKind) => {
  const message = renderMessage(notice(kind), facts(FULL), reader());

  it('says how sure, why, what if not, what else, on which data, and then its cautions, in this order', () => {
    expect(rising(positions(message.text, ORDER)), message.text).toBe(true);
    expect(rising(positions(message.html, ORDER)), message.html).toBe(true);
  });

  it('has its cautions before its steps', () => {
    const [cautions = -1, steps = -1] = ['Cautions\n', 'Steps:\n'].map((words) =>
      message.text.indexOf(words),
    );
    expect(cautions).toBeGreaterThan(0);
    if (steps >= 0) expect(cautions).toBeLessThan(steps);
  });

  it('gives no degree-hours before a plain reading of them', () => {
    const text = flat(message.text);
    for (const { index } of text.matchAll(/°F·h/g)) {
      const before = text.slice(Math.max(0, index - 90), index);
      expect(before).toMatch(/ for [a-z0-9 ]+hours? \(\d+ $|can take .* \(\d+ $/);
    }
  });
});

it('the essential is on the first screen of a phone', () => {
  for (const kind of ['act', 'last-call', 'worse', 'late'] as const) {
    const lines = renderMessage(notice(kind), facts(FULL), reader()).text.split('\n');
    const first = lines.slice(0, 16).join(' ').replace(/\s+/g, ' ');
    for (const words of ['15:10 (MST)', 'How sure:', 'Why:', 'If not:', 'What else:'])
      expect(first).toContain(words);
  }
});

describe('why', () => {
  const why = (change: Partial<UnitFacts>, temperature: 'F' | 'C' = 'F'): string =>
    flat(renderMessage(notice('act'), facts({ ...FULL, ...change }), reader({ temperature })).text);

  it('reads the spell, the part and what it can take on a thermometer first', () => {
    const text = why({});
    expect(text).toContain(
      'Cold from Thu 21:00 to Fri 09:00, down to 13 °F: below 25 °F for five hours (41 °F·h below freezing).',
    );
    // 3 K·h at −4 °C are 45 min; 3 K are 5.4 °F.
    expect(text).toContain(
      'The outside shower valve goes first: it can take about 45 min at 25 °F in still air, less in wind (5 °F·h).',
    );
    expect(why({}, 'C')).toContain('at −4 °C or below for five hours (23 °C·h below freezing)');
  });

  it('says how long it freezes where it is not hard', () => {
    const spell = { ...facts().spells[0]!, longestHoursAtOrBelowMinus4C: 0.2, minimumC: -4.1 };
    expect(why({ spells: [spell] })).toContain('down to 25 °F: below freezing for twelve hours (41 °F·h).');
  });

  it('tells of the spell that does the harm, and of the rest in a word', () => {
    const [spell] = facts().spells;
    const later = { ...spell!, start: at('2026-11-28T04:00:00Z'), end: at('2026-11-28T16:00:00Z') };
    const text = why({
      spells: [spell!, { ...later, minimumC: -14 }, later],
      lowestOutside: { temperatureC: -14, at: at('2026-11-28T13:00:00Z') },
    });
    expect(text).toContain('Cold from Thu 21:00 to Fri 09:00, down to 13 °F');
    expect(text).toContain('2 more spells lie ahead, down to 7 °F on Sat 06:00.');
  });

  it('knows what drained lines and antifreeze take', () => {
    expect(why({ limit: { kind: 'cold', atC: -4, hours: 6 } })).toContain(
      'what is left in it can take six hours at 25 °F.',
    );
    expect(why({ limit: { kind: 'cold', atC: -23, hours: 0 } })).toContain('bears no less than −9 °F.');
  });
});

describe('what happens if not, and what else', () => {
  const text = (change: Partial<UnitFacts>): string =>
    flat(renderMessage(notice('act'), facts({ ...FULL, ...change }), reader()).text);

  it('floods only where the supply is on', () => {
    expect(text({})).toContain('With the supply on, what is split floods at the thaw.');
    expect(text({ hasHose: false })).not.toContain('flood');
  });

  it('names money only where it is known', () => {
    const money = { currency: 'USD', doing: 20, leaving: 900, flood: 0, parts: [] };
    expect(text({ money })).toContain('Expect about 900 USD of damage on average.');
    expect(text({ money })).toContain(
      'Draining leaves 62 % (about 20 USD), winterizing under 2 % within 72 h.',
    );
    expect(text({})).not.toContain('USD');
  });

  it('says why heat is none of it', () => {
    expect(text({ hasHeat: false })).toContain('It has no heat to keep it warm.');
    expect(text({ overloadW: 1480 })).toContain('Keeping it warm is refused');
    expect(text({})).not.toMatch(/no heat|refused/);
  });

  it('of a single forecast says what it prevents', () => {
    const chances = { ...CHANCES, perAction: { nothing: 1, drain: 1, winterize: 0 }, resolution: 1 };
    expect(text({ chances })).toContain('Draining does not prevent it, winterizing prevents it.');
    expect(text({ chances })).toContain('a single forecast does not say how sure that is');
  });

  it('says first that nothing is enough', () => {
    expect(text({ advice: { ...DRAIN, reasonCode: 'nothing-suffices' } })).toMatch(
      /What else: Nothing that can still be done brings this within what is accepted; draining costs least with the damage that is still to be expected then\. Draining/,
    );
  });
});

describe('advice to leave it as it is', () => {
  it('asks for no start of a work that does not exist', () => {
    const advice = { ...DRAIN, action: 'nothing', startBy: null, reasonCode: 'nothing-suffices' } as const;
    const message = renderMessage(
      notice('act', { action: 'nothing', startBy: null }),
      facts({ advice }),
      reader(),
    );
    expect(message.subject).toBe('Leave Blue trailer as it is: no work helps now');
    expect(message.text).not.toMatch(/[Ss]tart as soon/);
    expect(flat(message.text)).toContain(
      'No work helps now: supply off and pump off, so that nothing floods.',
    );
  });
});

describe('a unit that may have frozen', () => {
  const text = (kind: 'frozen' | 'late', change: Partial<Advice>): string => {
    const advice = { ...DRAIN, ...change };
    const rendered = renderMessage(notice(kind), facts({ advice, suspect: true }), reader());
    return flat(rendered.text);
  };
  const OPEN = { circuits: ['cold', 'heater'], closed: ['flush'] };

  it('is told what is still open and what ice closes, where work goes round the ice', () => {
    expect(text('frozen', OPEN)).toContain(
      'Ice closes this, so leave it as it is until it has thawed: the black-tank flush line. Still open, so do not wait for the thaw: the cold lines and the pump and the water heater; draining that now keeps it from freezing too.',
    );
    expect(text('late', OPEN)).toContain(
      'Do only what is asked below, without pressure. What ice closes is warmed slowly',
    );
  });

  it.each([{}, { circuits: ['cold'] }, { ...OPEN, action: 'nothing' as const }])(
    'is to be thawed first where there is nothing to go round, or nothing to do: %o',
    (change) => {
      expect(text('frozen', change)).toContain(
        'It cannot be drained, blown out or pumped through ice: thaw it first',
      );
      expect(text('late', change)).toContain('look for splits and drips, and only then go on.');
    },
  );
});

describe('who could not be reached', () => {
  it('is named with the reason, before the work itself', () => {
    const text = flat(renderMessage(notice('unreached'), facts(FULL), reader()).text);
    expect(text).toMatch(/^Bob Example could not be reached about Blue trailer\./);
    expect(text).toContain('- Bob Example: The mailbox is full.');
    expect(text).toContain('low-point drain');
  });
});

describe('the place’s own water', () => {
  it('is shut: fill by then, and so long it lasts', () => {
    const text = flat(renderMessage(notice('fill-by', { action: 'nothing' }), facts(FULL), reader()).text);
    expect(text).toMatch(/^Fill the fresh tank of Blue trailer\. Start by Thu 26 Nov, 15:10 \(MST\)/);
    expect(text).toContain('The water is shut at Creek row from Thu 26 Nov, 17:00 (MST) on;');
    expect(text).toContain('36 gal (136 L) on board at 12 gal (45 L) a day last 3 days.');
    expect(text).toContain('only a hose kept for it');
  });

  it('takes no more sewage: dump before', () => {
    const text = flat(renderMessage(notice('dump-by', { action: 'nothing' }), facts(FULL), reader()).text);
    expect(text).toContain('The dump is closed at Creek row from Thu 26 Nov, 17:00 (MST) on;');
    expect(text).toContain('the black valve; let it run out');
    expect(text).toContain('gloves');
  });
});

it('late says the cautions of the whole job before its steps, too', () => {
  const text = renderMessage(
    notice('late', { action: 'winterize' }),
    facts({ ...FULL, advice: { ...WINTERIZE, late: true } }),
    reader(),
  ).text;
  const marks = [
    '\nCautions\n',
    'What is still worth doing',
    'Cautions for the whole job',
    'Winterize it with',
  ];
  expect(rising(marks.map((mark) => text.indexOf(mark)))).toBe(true);
});
