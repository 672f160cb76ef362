/** What is told of the second cold of a winter: as much as of the first. Anything unexpected fails. */
import { describe, expect, it } from 'vitest';
import { EPOCH, Timeline, type Said, type Weather } from './timeline.ts';

const DRAIN = { nothing: 0.6, drain: 0.1, winterize: 0 };

/** Work, travel and margin of draining: 45 + 15 + 120 min. */
const DRAIN_HOURS = 3;

function cold(startBy: number): Weather {
  return { chances: DRAIN, deadline: startBy + DRAIN_HOURS };
}

/** By hour, what each hourly round from `from` up to `to` says under the weather of its hour. */
function hourly(timeline: Timeline, span: readonly [number, number], weather: (hour: number) => Weather) {
  const [from, to] = span;
  return Array.from({ length: to - from }, (_, i) => from + i)
    .map((hour) => ({ hour, kinds: kinds(timeline.round(hour, weather(hour))) }))
    .filter((told) => told.kinds.length > 0);
}

function kinds({ notices }: Said): string[] {
  return notices.map((n) => `${n.kind} ${n.action}`);
}

function keys({ notices }: Said): string[] {
  return notices.map((n) => `${n.episode} ${n.kind} ${n.action}`);
}

describe('a second wave', () => {
  it('that follows the first without a calm between is told in full, under keys of its own', () => {
    const timeline = new Timeline();
    expect(hourly(timeline, [0, 31], () => cold(29))).toEqual([
      { hour: 0, kinds: ['act drain'] },
      { hour: 26, kinds: ['last-call drain'] },
      { hour: 30, kinds: ['late drain'] },
    ]);
    // Nothing broke, and the next night is the one to fear.
    const told = Array.from({ length: 30 }, (_, i) => timeline.round(31 + i, cold(53)));
    expect(told.flatMap(keys)).toEqual([
      'blue.2026-11-23T12:00:00Z.2 act drain',
      'blue.2026-11-23T12:00:00Z.2 last-call drain',
      'blue.2026-11-23T12:00:00Z.2 late drain',
    ]);
  });

  it('after the unit was winterized and is in use again is told as the first was', () => {
    const timeline = new Timeline();
    hourly(timeline, [0, 28], () => cold(29));
    const safe = { chances: { nothing: 0 }, deadline: null, chanceIfWet: 1 };
    expect(kinds(timeline.round(28, { ...safe, acted: true }))).toEqual([]);
    expect(hourly(timeline, [29, 60], () => safe)).toEqual([]);
    expect(hourly(timeline, [60, 92], (hour) => ({ ...cold(90), acted: hour === 60 }))).toEqual([
      { hour: 60, kinds: ['act drain'] },
      { hour: 87, kinds: ['last-call drain'] },
      { hour: 91, kinds: ['late drain'] },
    ]);
  });

  it('still ends in the all-clear that the first had no occasion for', () => {
    const timeline = new Timeline();
    timeline.round(0, cold(29));
    timeline.round(5, { chances: { nothing: 0 }, deadline: null, chanceIfWet: 1, acted: true });
    const [over] = timeline.round(80, { chances: { nothing: 0 }, deadline: null }).notices;
    expect(over).toMatchObject({ kind: 'all-clear', to: ['ann'] });
  });
});

describe('another time to start by', () => {
  it('that is twelve hours later is told once the told one is within a day', () => {
    const timeline = new Timeline();
    timeline.round(0, cold(40));
    expect(hourly(timeline, [1, 30], () => cold(52))).toEqual([{ hour: 16, kinds: ['act drain'] }]);
  });

  it('that is eleven hours later is not, and its last call comes in its own time', () => {
    const timeline = new Timeline();
    timeline.round(0, cold(40));
    expect(hourly(timeline, [1, 50], () => cold(51))).toEqual([{ hour: 48, kinds: ['last-call drain'] }]);
  });

  it('that moves by hours from run to run brings neither last-call nor late again', () => {
    const timeline = new Timeline();
    const wavering = (hour: number): Weather => cold(40 + (hour % 5));
    const told = hourly(timeline, [0, 50], wavering).flatMap((t) => t.kinds);
    expect(told).toEqual(['act drain', 'last-call drain', 'late drain']);
  });
});

it('forty messages later the keys are still new', () => {
  const timeline = new Timeline();
  const said: string[] = [];
  for (let wave = 0; wave < 20; wave += 1) {
    for (const hour of [1, 22, 25])
      said.push(...keys(timeline.round(24 * wave + hour, cold(24 * (wave + 1)))));
  }
  expect(said.length).toBeGreaterThan(50);
  expect(new Set(said).size).toBe(said.length);
});

describe('a clock that was a year ahead', () => {
  const YEAR_H = 365 * 24;

  it('does not silence what is to be told once it is right', () => {
    const timeline = new Timeline();
    const ahead = timeline.round(YEAR_H, cold(YEAR_H + 30)).notices;
    const right = timeline.round(0, cold(30)).notices;
    expect([...ahead, ...right].map((n) => n.kind)).toEqual(['act', 'act']);
    expect(right[0]?.episode).not.toBe(ahead[0]?.episode);
    expect(timeline.memory.advice?.since).toBe(EPOCH);
  });

  it('does not silence the loss of the forecast', () => {
    const timeline = new Timeline();
    timeline.round(YEAR_H, { chances: { nothing: 0 }, deadline: null });
    timeline.blind(YEAR_H + 20, true);
    expect(kinds(timeline.blind(0, true))).toEqual(['no-forecast nothing']);
    expect(timeline.memory).toMatchObject({ blindSince: EPOCH, lastKnown: null });
    expect(kinds(timeline.blind(1, true))).toEqual([]);
  });

  it('leaves a suspicion in force, from now on', () => {
    const timeline = new Timeline();
    timeline.round(YEAR_H, { ...cold(YEAR_H), alreadyDamaged: true });
    timeline.round(0, { chances: { nothing: 0 }, deadline: null });
    expect(timeline.memory.suspectSince).toBe(EPOCH);
  });

  it('is not one that is minutes ahead, as between two machines', () => {
    const timeline = new Timeline();
    timeline.round(0.1, cold(30));
    expect(kinds(timeline.round(0, cold(30)))).toEqual([]);
  });
});
