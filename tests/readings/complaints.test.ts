import { expect, it } from 'vitest';
import { complaints, type Complaints } from '../../src/readings/complaints.ts';
import { DAY_S, HOUR_S } from '../../src/quantity/instant.ts';
import { NOW } from '../support/letter.ts';

function heard(): { told: Complaints; said: string[]; at: (seconds: number) => void } {
  const said: string[] = [];
  let now = NOW;
  const told = complaints(
    (sensor, text) => said.push(`${sensor}: ${text}`),
    () => now,
  );
  return { told, said, at: (seconds) => (now = NOW + seconds) };
}

it('a sensor is complained of once for each kind of trouble', () => {
  const { told, said, at } = heard();
  for (const seconds of [0, 60, DAY_S, 3 * DAY_S]) {
    at(seconds);
    told.bad('porch', 'unreadable', 'No number.');
    told.bad('porch', 'refused', 'Too hot.');
    told.bad('roof', 'refused', 'Too hot.');
  }
  expect(said).toEqual(['porch: No number.', 'porch: Too hot.', 'roof: Too hot.']);
});

it('and again after an hour of good readings, at most once a day', () => {
  const { told, said, at } = heard();
  const bad = (seconds: number): void => {
    at(seconds);
    told.bad('porch', 'refused', `At ${seconds / HOUR_S} h.`);
  };
  const good = (seconds: number): void => {
    at(seconds);
    told.good('porch');
  };
  bad(0);
  good(60);
  bad(HOUR_S);
  good(2 * HOUR_S);
  // An hour of good ones, but the day is not over; it is said at the next bad one after it.
  bad(3 * HOUR_S);
  bad(DAY_S);
  bad(2 * DAY_S);
  good(3 * DAY_S);
  bad(3 * DAY_S + HOUR_S - 1);
  good(4 * DAY_S);
  bad(4 * DAY_S + HOUR_S);
  expect(said).toEqual(['porch: At 0 h.', 'porch: At 24 h.', 'porch: At 97 h.']);
});

it('sensors without end fill no memory', () => {
  const { told, said } = heard();
  for (let i = 0; i < 3000; i++) told.bad(`sensor ${i}`, 'unreadable', 'No number.');
  expect(said).toHaveLength(1000);
});
