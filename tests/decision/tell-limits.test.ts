/** The corners of what is told: who has heard what, what stands, what is over, and nothing said twice. */
import { describe, expect, it } from 'vitest';
import { EMPTY_MEMORY, withoutFuture, type AddressedNotice } from '../../src/decision/memory.ts';
import { Telling } from '../../src/decision/telling.ts';
import { ANN, EPOCH, Timeline, type Said, type Weather } from './timeline.ts';

const HOUR = 3600;
const DRAIN = { nothing: 0.6, drain: 0.1, winterize: 0 };
const WINTERIZE = { nothing: 0.9, drain: 0.4, winterize: 0 };
const CALM: Weather = { chances: { nothing: 0 }, deadline: null };
const MILD: Weather = { chances: { nothing: 0.02, drain: 0, winterize: 0 }, deadline: null, chanceIfWet: 1 };
/** Winterizing is more than it takes. */
const LESS: Weather = { chances: { nothing: 0.6, drain: 0.05, winterize: 0 }, deadline: 60, coldFrom: 10 };
const ICE: Weather = { chances: { nothing: 0 }, deadline: null, frozenPath: true };
const BO = { person: 'bo', headsUpHours: 120 };

/** Work, travel and margin of draining: 45 + 15 + 120 min. */
const DRAIN_HOURS = 3;

function words(notices: readonly AddressedNotice[]): string[] {
  return notices.map((n) => `${n.kind} ${n.action} to ${n.to.join(' ')}`);
}

function kinds({ notices }: Said): string[] {
  return notices.map((n) => `${n.kind} ${n.action}`);
}

function telling(memory = EMPTY_MEMORY, contacts = ['ann']): Telling {
  const people = contacts.map((person) => ({ person, headsUpHours: 120 }));
  return new Telling({ unit: 'blue', now: EPOCH, deadlineAt: null, contacts: people }, memory);
}

describe('a freeze', () => {
  it('that leaves work to do is told before that work', () => {
    const timeline = new Timeline();
    expect(kinds(timeline.round(0, { chances: DRAIN, deadline: 40, alreadyDamaged: true }))).toEqual([
      'frozen drain',
      'act drain',
    ]);
  });

  it('with its way shut does not hide work that would still help', () => {
    const shut = { chances: { nothing: 0.9, drain: 0.8 }, deadline: 40, frozenPath: true };
    expect(kinds(new Timeline().round(0, shut))).toEqual(['act drain']);
  });

  it('that work goes round is told of before that work, once, unless the ice has room or the work is enough', () => {
    const round = {
      chances: { nothing: 0.9, drain: 0.8 },
      deadline: 40,
      frozenPath: true,
      closed: ['flush'],
    };
    const timeline = new Timeline();
    expect(kinds(timeline.round(0, round))).toEqual(['frozen nothing', 'act drain']);
    expect(kinds(timeline.round(1, round))).toEqual([]);
    expect(kinds(new Timeline().round(0, { ...round, iceHasRoom: true }))).toEqual(['act drain']);
    const enough = { ...round, chances: { nothing: 0.9, drain: 0.1 } };
    expect(kinds(new Timeline().round(0, enough))).toEqual(['act drain']);
  });

  it('suspends the advice in force and does not relax it', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const before = timeline.memory.advice;
    timeline.round(1, { ...ICE, acted: true });
    expect(timeline.memory.advice).toEqual(before);
    expect(timeline.memory.episode?.over).toBeUndefined();
  });

  it('is told for as long as nobody has checked, though the work is done, and not after', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 40, alreadyDamaged: true });
    const done = { ...CALM, acted: true, chanceIfWet: 1 };
    expect(words(timeline.round(5, done).standing)).toEqual(['frozen drain to ann']);
    timeline.memory = { ...timeline.memory, suspectSince: null };
    expect(timeline.round(6, done).standing).toEqual([]);
  });

  it('stands under its own name, without the time to start of the work beside it', () => {
    const timeline = new Timeline();
    const found = { chances: DRAIN, deadline: 40, alreadyDamaged: true };
    timeline.round(0, found);
    const { standing } = timeline.round(1, found);
    expect(words(standing)).toEqual(['act drain to ann', 'frozen drain to ann']);
    expect(standing.map(({ startBy }) => startBy)).toEqual([EPOCH + 37 * HOUR, null]);
  });

  it('that was never told is not told again', () => {
    const timeline = new Timeline();
    timeline.memory = { ...EMPTY_MEMORY, suspectSince: EPOCH };
    expect(timeline.round(1, CALM).standing).toEqual([]);
  });

  it('does not end in an all-clear, when it is found and until somebody has checked', () => {
    const timeline = new Timeline();
    timeline.round(0, { ...CALM, chanceAhead: 0.9 });
    expect(kinds(timeline.round(1, { ...CALM, alreadyDamaged: true }))).toEqual(['frozen nothing']);
    expect(kinds(timeline.round(2, CALM))).toEqual([]);
    timeline.memory = { ...timeline.memory, suspectSince: null };
    expect([3, 14, 15].map((hour) => kinds(timeline.round(hour, CALM)))).toEqual([
      [],
      [],
      ['all-clear nothing'],
    ]);
  });

  it('takes nothing back of work that was told', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const found = timeline.round(1, { chances: DRAIN, deadline: 60, alreadyDamaged: true });
    expect(words(found.notices)).toEqual(['frozen drain to ann']);
    expect(words(found.standing)).toEqual(['act drain to ann']);
  });
});

describe('what a person did', () => {
  it('that leaves more to do is no end: the rest is told as worse', () => {
    const timeline = new Timeline();
    const [first] = timeline.round(0, { chances: DRAIN, deadline: 60 }).notices;
    const { notices } = timeline.round(1, {
      chances: { nothing: 1, winterize: 0 },
      deadline: 60,
      acted: true,
    });
    expect(notices).toMatchObject([{ kind: 'worse', action: 'winterize', episode: first?.episode }]);
  });

  it('after a mere heads-up opens no other episode', () => {
    const timeline = new Timeline();
    const [ahead] = timeline.round(0, { ...CALM, chanceAhead: 0.9 }).notices;
    timeline.round(1, { ...CALM, chanceAhead: 0.9, acted: true });
    const [act] = timeline.round(24, { chances: DRAIN, deadline: 80 }).notices;
    expect(act).toMatchObject({ kind: 'act', episode: ahead?.episode });
  });

  it('on advice that nobody was told of is followed by no all-clear', () => {
    const timeline = new Timeline();
    const advice = { action: 'drain', method: null, startBy: null, since: EPOCH } as const;
    timeline.memory = { ...EMPTY_MEMORY, advice };
    expect(kinds(timeline.round(1, { ...CALM, acted: true }))).toEqual([]);
    expect(timeline.memory.episode).toBeNull();
  });

  it('before anything was advised changes nothing', () => {
    const timeline = new Timeline();
    expect(kinds(timeline.round(0, { ...CALM, acted: true }))).toEqual([]);
    expect(timeline.memory.episode).toBeNull();
  });

  it('ends the story and keeps who is to hear the all-clear', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    timeline.round(5, { ...CALM, acted: true, chanceIfWet: 1 });
    expect(timeline.memory.episode).toEqual({
      id: 'blue.2026-11-23T12:00:00Z',
      since: EPOCH,
      heard: ['ann'],
      over: true,
      done: 'drain',
      dueAt: EPOCH + 60 * 3600,
      askedAt: EPOCH,
    });
  });

  it('waits a day from the call before it is over, unless the cold has come and gone meanwhile', () => {
    const calm = { chances: { nothing: 0, winterize: 0 }, deadline: null, acted: true, chanceIfWet: 0 };
    const overAt = (deadline: number): number | undefined => {
      const timeline = new Timeline();
      timeline.round(0, { chances: DRAIN, deadline });
      return [3, 9, 15, 21, 23, 24, 30].find((hour) => timeline.round(hour, calm).notices.length > 0);
    };
    // Twelve hours after the damage was due, or a day after it was asked for; where it is yet to come, a day as well.
    expect([1, 3, 8, 11, 14, 20].map(overAt)).toEqual([15, 15, 21, 23, 24, 24]);
  });

  it('of a clock that was ahead does not make the wait longer', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 1 });
    timeline.round(3, { ...CALM, acted: true, chanceIfWet: 1 });
    const { episode } = withoutFuture(
      { ...timeline.memory, episode: { ...timeline.memory.episode!, askedAt: EPOCH + 100 * 3600 } },
      EPOCH + 5 * 3600,
    );
    expect(episode?.askedAt).toBe(EPOCH + 5 * 3600);
  });
});

describe('the time to start by', () => {
  it('of advice that is held is called in its time, and then late, until a second forecast relaxes it', () => {
    const timeline = new Timeline();
    // 90 min of work, 15 of travel, 2 h of margin.
    timeline.round(0, { chances: WINTERIZE, deadline: 60 });
    expect([52, 54, 55, 57, 57.5, 61].map((hour) => kinds(timeline.round(hour, LESS)))).toEqual([
      [],
      ['last-call winterize'],
      [],
      ['late winterize'],
      [],
      [],
    ]);
    expect(timeline.memory.advice?.action).toBe('drain');
  });

  it('that has passed for a stronger action makes that late, not worse', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    expect(kinds(timeline.round(1, { chances: WINTERIZE, deadline: 2 }))).toEqual(['late winterize']);
  });

  it('that nobody knows is never late', () => {
    const timeline = new Timeline();
    const unknown = { chances: DRAIN, deadline: null };
    expect(kinds(timeline.round(0, unknown))).toEqual(['act drain']);
    expect(kinds(timeline.round(1, unknown))).toEqual([]);
    expect(words(timeline.round(2, unknown).standing)).toEqual(['act drain to ann']);
    timeline.contacts = [ANN, BO];
    expect(words(timeline.blind(3, false).standing)).toEqual(['act drain to ann', 'act drain to bo']);
    expect(kinds(timeline.blind(4, false))).toEqual([]);
  });

  it('that comes to be known later is offered with what stands, and called in its own time', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: null });
    const known = { chances: DRAIN, deadline: 20 + DRAIN_HOURS };
    const { notices, standing } = timeline.round(1, known);
    expect(notices).toEqual([]);
    expect(standing).toMatchObject([{ kind: 'act', startBy: EPOCH + 20 * HOUR }]);
    expect([16, 17].map((hour) => kinds(timeline.round(hour, known)))).toEqual([[], ['last-call drain']]);
  });

  it('is called three hours ahead, three hours after it was told at the soonest', () => {
    const timeline = new Timeline();
    const cold = { chances: DRAIN, deadline: 5 + DRAIN_HOURS };
    const told = [0, 2.9, 3, 3.1].map((hour) => kinds(timeline.round(hour, cold)));
    expect(told).toEqual([['act drain'], [], ['last-call drain'], []]);
  });

  it('still stands at the very instant, and is past after it', () => {
    const timeline = new Timeline();
    const cold = { chances: DRAIN, deadline: 20 + DRAIN_HOURS };
    timeline.round(0, cold);
    timeline.round(17, cold);
    timeline.contacts = [ANN, BO];
    expect(words(timeline.round(20, cold).standing)).toEqual(['last-call drain to ann', 'act drain to bo']);
    expect(words(timeline.blind(20.1, false).notices)).toEqual(['late drain to ann bo']);
  });

  it('told for more work stands as it was told when less would do', () => {
    const timeline = new Timeline();
    // 90 min of work, 15 of travel, 2 h of margin.
    const [first] = timeline.round(0, { chances: WINTERIZE, deadline: 60 }).notices;
    const mild = { chances: { nothing: 0.6, drain: 0.05, winterize: 0 }, deadline: 60 };
    for (const hour of [13, 20]) timeline.round(hour, mild);
    const [stands] = timeline.round(21, mild).standing;
    expect(stands).toMatchObject({ action: 'winterize', startBy: first?.startBy });
  });
});

describe('the few messages of a day', () => {
  // What managers hear of people whom nothing reached, as src/app/unreached.ts keeps it.
  const unreached = ['bo', 'cy', 'di'].map((person) => {
    const key = `blue.unreached.${person}`;
    return { kind: 'unreached', action: 'drain', at: EPOCH, startBy: null, key, to: ['manager'] } as const;
  });

  it.each([
    ['worse', 10, 40],
    ['last-call', 56, 60],
  ])('are not used up by what only managers hear: %s', (kind, hour, deadline) => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    const lost = unreached.map((one) => ({ ...one, at: EPOCH + (hour - 1) * HOUR }));
    timeline.memory = { ...timeline.memory, told: [...timeline.memory.told, ...lost] };
    expect(kinds(timeline.round(hour, { chances: DRAIN, deadline }))).toEqual([`${kind} drain`]);
  });

  it('keep the circuits that a partial drain was asked for', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60, circuits: ['inlet', 'flush'] });
    expect(timeline.memory.advice?.circuits).toEqual(['inlet', 'flush']);
  });
});

describe('an earlier time to start by', () => {
  const told = { chances: DRAIN, deadline: 60, forecast: 'one', lowestC: -7 };

  it.each([
    ['the same forecast, which draws its members anew', {}, []],
    [
      'the same forecast, a member more and a tenth of a degree',
      { chances: { ...DRAIN, nothing: 0.62 }, lowestC: -7.1 },
      [],
    ],
    ['another forecast', { forecast: 'two' }, ['worse drain']],
    ['air that readings have made colder', { lowestC: -7.6 }, ['worse drain']],
    ['a greater chance', { chances: { ...DRAIN, nothing: 0.7 } }, ['worse drain']],
  ])('of %s', (_, change, heard) => {
    const timeline = new Timeline();
    timeline.round(0, told);
    expect(kinds(timeline.round(1, { ...told, deadline: 40, ...change }))).toEqual(heard);
  });

  it('that is no news has its last call all the same', () => {
    const timeline = new Timeline();
    timeline.round(0, told);
    timeline.round(1, { ...told, deadline: 20 });
    expect(kinds(timeline.round(15, { ...told, deadline: 20 }))).toEqual(['last-call drain']);
    expect(kinds(timeline.round(18, { ...told, deadline: 20 }))).toEqual(['late drain']);
  });
});

describe('a contact who was added', () => {
  it('hears that it is late where that is what the others heard last', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 2 });
    timeline.contacts = [ANN, BO];
    const { standing } = timeline.round(1, { chances: DRAIN, deadline: 5 });
    expect(words(standing)).toEqual(['late drain to ann', 'late drain to bo']);
    expect(standing[1]?.episode).not.toBe(standing[0]?.episode);
    expect(standing[1]?.episode).toContain(standing[0]?.episode);
  });

  it('hears that it is late where the advice is held and its time has passed', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: WINTERIZE, deadline: 60 });
    timeline.contacts = [ANN, BO];
    expect(words(timeline.round(58, LESS).notices)).toEqual(['late winterize to ann bo']);
  });

  it('hears of the loss of the forecast, and so of its return, but no all-clear of a cold never told them', () => {
    const timeline = new Timeline();
    timeline.round(0, { ...CALM, chanceAhead: 0.9 });
    timeline.blind(12, true);
    timeline.contacts = [ANN, BO];
    expect(words(timeline.blind(13, true).standing)).toEqual(['no-forecast nothing to ann bo']);
    const { notices } = timeline.round(20, CALM);
    expect(words(notices)).toEqual(['heads-up nothing to ann bo']);
    expect(notices[0]).toMatchObject({ forecastBack: true });
    expect(words(timeline.round(32, CALM).notices)).toEqual(['all-clear nothing to ann']);
  });
});

describe('what an older program remembered', () => {
  it('without keys and people is taken as told to everyone, under the key of the episode', () => {
    const timeline = new Timeline();
    const [first] = timeline.round(0, { chances: DRAIN, deadline: 60 }).notices;
    const { memory } = timeline;
    const told = memory.told.map(({ kind, action, at, startBy }) => ({ kind, action, at, startBy }));
    timeline.memory = { ...memory, told };
    timeline.contacts = [ANN, BO];
    const { standing } = timeline.round(1, { chances: DRAIN, deadline: 60 });
    expect(standing).toMatchObject([{ kind: 'act', episode: first?.episode, to: ['ann', 'bo'] }]);
    // The next telling of the same still has a key of its own.
    const [worse] = timeline.round(2, { chances: DRAIN, deadline: 50 }).notices;
    const [again] = timeline.round(26, { chances: DRAIN, deadline: 40 }).notices;
    expect([worse?.episode, again?.episode]).toEqual([first?.episode, `${first?.episode}.2`]);
  });

  it('of the loss of a forecast, without key or episode, stands under the name of the unit', () => {
    const timeline = new Timeline();
    const lost = { kind: 'no-forecast', action: 'nothing', at: EPOCH, startBy: null } as const;
    timeline.memory = { ...EMPTY_MEMORY, told: [lost], blindSince: EPOCH };
    const { notices, standing } = timeline.blind(1, true);
    expect(notices).toEqual([]);
    // The outbox tells messages apart by it, and another unit at the same place has lost its forecast, too.
    expect(standing).toMatchObject([{ kind: 'no-forecast', episode: 'blue', to: ['ann'] }]);
  });

  it('as advice that nobody was told of is told in its time: nothing takes it back', () => {
    const timeline = new Timeline();
    const advice = { action: 'drain', method: null, startBy: EPOCH + HOUR, since: EPOCH } as const;
    timeline.memory = { ...EMPTY_MEMORY, advice };
    const { notices } = timeline.blind(2, false);
    expect(notices).toMatchObject([{ kind: 'late', action: 'drain' }]);
  });

  it('keeps the last known low where a forecast knows none', () => {
    const timeline = new Timeline();
    timeline.round(0, { ...CALM, lowestC: -9 });
    timeline.round(1, { ...CALM, lowestC: null });
    expect(timeline.memory.lastKnown).toMatchObject({ asOf: EPOCH, lowestOutsideC: -9 });
  });
});

describe('without a forecast', () => {
  it('its loss is told with the time to start by, whatever was told of the work meanwhile', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 20 + DRAIN_HOURS });
    timeline.blind(12, false);
    expect(kinds(timeline.blind(18, false))).toEqual(['last-call drain']);
    const { notices } = timeline.blind(19, true);
    expect(notices).toMatchObject([{ kind: 'no-forecast', action: 'drain', startBy: EPOCH + 20 * HOUR }]);
  });

  it('nothing is asked for where the advice has been relaxed', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    for (const hour of [13, 20]) timeline.round(hour, MILD);
    expect(timeline.memory.advice?.action).toBe('nothing');
    expect(timeline.blind(21, false)).toMatchObject({ notices: [], standing: [] });
  });

  it('a loss of long ago is not told again with the next one', () => {
    const timeline = new Timeline();
    timeline.blind(0, true);
    expect(timeline.round(1, CALM).standing).toEqual([]);
    expect(timeline.blind(2, false).standing).toEqual([]);
    // Its loss was not told this time, so its return is no news.
    expect(timeline.round(3, CALM).notices).toEqual([]);
  });
});

describe('a forecast that is back', () => {
  it('is no news to those who heard of the work meanwhile, but never of its loss', () => {
    const timeline = new Timeline();
    const cold = { chances: DRAIN, deadline: 20 + DRAIN_HOURS };
    timeline.round(0, cold);
    timeline.blind(12, false);
    timeline.blind(18, false);
    expect(timeline.round(19, cold).notices).toEqual([]);
  });

  it('is told beside a heads-up, which most have already', () => {
    const timeline = new Timeline();
    timeline.blind(0, true);
    const { notices } = timeline.round(1, { ...CALM, chanceAhead: 0.9, firstDamage: 96 });
    expect(notices.map((n) => [n.kind, n.forecastBack ?? false])).toEqual([
      ['heads-up', false],
      ['heads-up', true],
    ]);
  });

  it.each([
    ['frozen nothing', ICE],
    ['late drain', { chances: DRAIN, deadline: 1 }],
  ] as const)('brings %s with it where that holds', (kind, weather) => {
    const timeline = new Timeline();
    timeline.round(0, weather);
    timeline.blind(0.5, true);
    const back = timeline.round(0.7, weather);
    expect(kinds(back)).toEqual([kind]);
    expect(back.notices[0]?.forecastBack).toBe(true);
  });
});

describe('a heads-up', () => {
  it('reaches whoever asked for just so much', () => {
    const at = (firstDamage: number) =>
      kinds(new Timeline().round(0, { ...CALM, chanceAhead: 0.9, firstDamage }));
    expect(at(120)).toEqual(['heads-up nothing']);
    expect(at(120.1)).toEqual([]);
  });

  it('is remembered once, however often it is offered', () => {
    const timeline = new Timeline();
    for (const hour of [0, 1, 2]) timeline.round(hour, { ...CALM, chanceAhead: 0.9 });
    expect(timeline.memory.told).toEqual([
      {
        kind: 'heads-up',
        action: 'nothing',
        at: EPOCH,
        startBy: null,
        key: 'blue.2026-11-23T12:00:00Z',
        number: 1,
        to: ['ann'],
      },
    ]);
  });

  it('is remembered beside the work that was told in its episode', () => {
    const timeline = new Timeline();
    timeline.round(0, { chances: DRAIN, deadline: 60 });
    for (const hour of [13, 20]) timeline.round(hour, { ...MILD, chanceAhead: 0.9 });
    expect(timeline.memory.told.map(({ kind }) => kind)).toEqual(['act', 'heads-up']);
  });

  it('that is too far ahead for everyone opens no episode', () => {
    const timeline = new Timeline();
    timeline.round(0, { ...CALM, chanceAhead: 0.9, firstDamage: 200 });
    expect(timeline.memory).toMatchObject({ episode: null, told: [] });
  });

  it('is told anew in the next episode', () => {
    const timeline = new Timeline();
    timeline.round(0, { ...CALM, chanceAhead: 0.9 });
    timeline.round(1, { ...CALM, chanceAhead: 0.9 });
    timeline.memory = { ...timeline.memory, episode: { id: 'next', since: EPOCH, heard: ['ann'] } };
    timeline.round(2, { ...CALM, chanceAhead: 0.9 });
    expect(timeline.memory.told.map(({ key }) => key)).toEqual(['blue.2026-11-23T12:00:00Z', 'next']);
  });
});

describe('the all-clear', () => {
  it('comes where just half of what is accepted is left', () => {
    const over = (chanceIfWet: number, chanceAhead: number): string[] => {
      const timeline = new Timeline();
      timeline.round(0, { ...CALM, chanceAhead: 0.9 });
      timeline.round(1, { ...CALM, chanceIfWet, chanceAhead });
      return kinds(timeline.round(13, { ...CALM, chanceIfWet, chanceAhead }));
    };
    expect(over(0.025, 0.25)).toEqual(['all-clear nothing']);
    expect(over(0.026, 0.25)).toEqual([]);
    expect(over(0.025, 0.26)).toEqual([]);
  });

  it('is sent to nobody where none of those who heard is a contact any more', () => {
    const timeline = new Timeline();
    timeline.round(0, { ...CALM, chanceAhead: 0.9 });
    timeline.contacts = [BO];
    expect([1, 13].map((hour) => timeline.round(hour, CALM).notices)).toEqual([[], []]);
    expect(timeline.memory.episode).toBeNull();
  });
});

describe('a telling', () => {
  it('counts by kind and action: each begins under the key of the episode', () => {
    const of = telling();
    of.say('act', 'drain', null);
    of.say('act', 'winterize', null);
    of.say('act', 'drain', null);
    const [first, other, again] = of.notices;
    expect(other?.episode).toBe(first?.episode);
    expect(again?.episode).toBe(`${first?.episode}.2`);
  });

  it('of one action does not cover another, nor one without a time one with a time', () => {
    const of = telling();
    of.sayOnce('late', 'drain', EPOCH - HOUR);
    of.sayOnce('late', 'winterize', EPOCH - HOUR);
    of.sayOnce('late', 'drain', null);
    of.sayOnce('late', 'drain', null);
    expect(of.notices.map(({ action, startBy }) => [action, startBy])).toEqual([
      ['drain', EPOCH - HOUR],
      ['winterize', EPOCH - HOUR],
      ['drain', null],
    ]);
    const timed = telling(of.memory);
    timed.sayOnce('late', 'drain', EPOCH + 9 * HOUR);
    expect(timed.notices).toHaveLength(1);
    const passed = telling();
    passed.sayOnce('late', 'drain', null);
    passed.sayOnce('late', 'drain', EPOCH - HOUR);
    expect(passed.notices).toHaveLength(2);
  });

  it('covers times less than six hours from its own, and every one that had passed when it was said', () => {
    const said = (startBy: number): number => {
      const of = telling();
      of.sayOnce('late', 'drain', EPOCH + 20 * HOUR);
      of.sayOnce('late', 'drain', startBy);
      return of.notices.length;
    };
    expect(said(EPOCH + 26 * HOUR)).toBe(2);
    expect(said(EPOCH + 26 * HOUR - 1)).toBe(1);
    expect(said(EPOCH + 14 * HOUR)).toBe(2);
    expect(said(EPOCH)).toBe(1);
    expect(said(EPOCH + 1)).toBe(2);
    expect(said(EPOCH - 40 * HOUR)).toBe(1);
  });

  it('adds its readers to those who hear the all-clear', () => {
    const first = telling();
    first.say('act', 'drain', null);
    const second = telling(first.memory, ['ann', 'bo']);
    second.say('worse', 'winterize', null);
    expect(second.memory.episode?.heard).toEqual(['ann', 'bo']);
  });

  it('does not invent who was told in an episode that did not keep it', () => {
    const of = telling({ ...EMPTY_MEMORY, episode: { id: 'old', since: EPOCH } });
    of.say('act', 'drain', null);
    expect(of.memory.episode).toEqual({ id: 'old', since: EPOCH });
  });

  it('without advice has nothing in force', () => {
    expect(telling().inForce()).toBe('nothing');
  });

  it('remembers forty and, of what is older, the last of each kind and action, so that numbers go on', () => {
    let memory = EMPTY_MEMORY;
    const say = (kind: 'act' | 'worse' | 'frozen', action: 'drain' | 'winterize'): string | undefined => {
      const of = telling(memory);
      of.say(kind, action, null);
      memory = of.memory;
      return of.notices[0]?.episode.split('.').at(2);
    };
    say('frozen', 'drain');
    say('frozen', 'drain');
    say('act', 'winterize');
    say('act', 'drain');
    for (let i = 0; i < 60; i += 1) say('worse', 'drain');
    const left = memory.told.map((t) => `${t.kind} ${t.action} ${t.number}`);
    expect(left.slice(0, 4)).toEqual(['frozen drain 2', 'act winterize 1', 'act drain 1', 'worse drain 21']);
    expect(left).toHaveLength(43);
    expect(say('frozen', 'drain')).toBe('3');
    expect(say('worse', 'drain')).toBe('61');
  });

  it('forgets nothing while there are no more than forty', () => {
    let memory = EMPTY_MEMORY;
    for (let i = 0; i < 40; i += 1) {
      const of = telling(memory);
      of.say('worse', 'drain', null);
      memory = of.memory;
    }
    expect(memory.told.map((t) => t.number)).toEqual(Array.from({ length: 40 }, (_, i) => i + 1));
  });
});
