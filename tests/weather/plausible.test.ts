/** What no grid of a forecast model holds (engineering estimates), and what becomes of it. */
import { describe, expect, it } from 'vitest';
import { outlookOf } from '../../src/weather/outlook.ts';
import { refuseImpossible } from '../../src/weather/plausible.ts';
import { MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const HOUR = 3600;

/** A swing of 10 K a day about 2 °C, with other values from hours on. */
function hours(over: Readonly<Record<number, number>> = {}, from = Infinity, by = 0): number[] {
  return Array.from(
    { length: 145 },
    (_, h) => (over[h] ?? 2 - 5 * Math.cos((2 * Math.PI * (h - 5)) / 24)) + (h >= from ? by : 0),
  );
}

function checked(temperatureC: readonly number[], nowHour = 0) {
  return refuseImpossible(madeForecast([{ temperatureC }]), MIDNIGHT + nowHour * HOUR);
}

function unknownHours(values: readonly number[] | undefined): number[] {
  return (values ?? []).flatMap((t, h) => (Number.isNaN(t) ? [h] : []));
}

describe('a spike', () => {
  it('of one hour or two is unknown, to either side, and said', () => {
    for (const off of [-60, 40]) {
      const one = checked(hours({ 30: off }));
      expect(unknownHours(one.forecast.members[0]?.temperatureC)).toEqual([30]);
      expect(one.sentences).toEqual([
        '1 hour stands more than 10 K (18 °F) off the hours on both sides and is taken as unknown.',
      ]);
      const two = checked(hours({ 30: off, 31: off + 1 }));
      expect(unknownHours(two.forecast.members[0]?.temperatureC)).toEqual([30, 31]);
      expect(two.sentences.join()).toContain('2 hours stand');
    }
  });

  it('is interpolated in the outlook, as a gap is', () => {
    const even = hours();
    const { members, stretches } = outlookOf(
      requestFor(madeForecast([{ temperatureC: hours({ 30: -60 }) }])),
    );
    expect(members[0]?.temperatureC[30]).toBeCloseTo((even[29]! + even[31]!) / 2, 12);
    expect(stretches.filter((s) => s.what === 'interpolated')).toMatchObject([
      { from: MIDNIGHT + 30 * HOUR, to: MIDNIGHT + 30 * HOUR },
    ]);
  });

  it('is none where it is within 10 K, or at an end, where nobody can tell', () => {
    expect(checked(hours({ 30: hours()[30]! - 9 })).sentences).toEqual([]);
    expect(unknownHours(checked(hours({ 0: -9 })).forecast.members[0]?.temperatureC)).toEqual([]);
  });

  it('in a user’s own file is meant', () => {
    const request = requestFor(madeForecast([{ temperatureC: hours({ 30: -60 }) }]), { ofService: false });
    expect(outlookOf(request).members[0]?.temperatureC[30]).toBe(-60);
  });
});

describe('a jump', () => {
  it('ahead ends the outlook there, as a hole does', () => {
    const jump = madeForecast([{ temperatureC: hours({}, 60, -32) }]);
    const { hours: count, endsAtHole, assumptions } = outlookOf(requestFor(jump));
    expect([count, endsAtHole]).toEqual([60, true]);
    expect(assumptions.join()).toContain(
      'At 2026-12-03T19:00:00Z the forecast jumps by more than 25 K (45 °F) within an hour. From there on it is not believed.',
    );
  });

  it('in the past ends what is known of the past', () => {
    const jump = madeForecast([{ temperatureC: hours({}, 20, 32) }]);
    const { firstHour, assumptions } = outlookOf(requestFor(jump, { now: MIDNIGHT + 48 * HOUR }));
    expect(firstHour).toBe(MIDNIGHT + 20 * HOUR);
    expect(assumptions.join()).toContain('What lies before that is not believed.');
  });

  it('for some hours is a jump down and one up, and not a spike', () => {
    const { hours: count, endsAtHole } = outlookOf(
      requestFor(madeForecast([{ temperatureC: hours({ 50: -50, 51: -50, 52: -51 }) }])),
    );
    expect([count, endsAtHole]).toEqual([50, true]);
  });

  it('of 24 K is no fault of the data', () => {
    const front = hours();
    const { sentences } = checked(front.map((_, h) => (h < 40 ? front[39]! : front[39]! - 24)));
    expect(sentences).toEqual([]);
  });

  it('in one member of an ensemble leaves that one out, and the rest go on', () => {
    const members = [0, 1, 2, 3].map((m) => ({
      model: 'made',
      temperatureC: hours({}, m === 2 ? 60 : Infinity, -32).map((t) => t + m / 10),
    }));
    const {
      members: left,
      hours: count,
      assumptions,
    } = outlookOf(requestFor(madeForecast(members), { errorLaw: null }));
    expect([left.length, count]).toEqual([3, 145]);
    expect(assumptions.join()).toContain('1 member of an ensemble jumps by more than 25 K');
  });
});
