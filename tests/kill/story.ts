/**
 * A week and a half at a lot in the mountains: foretold from far, then worse than it was said, at last over. Somebody
 * winterizes in time, somebody too late, somebody not at all; one owner has two units, one reads texts that nobody
 * takes, one has a mail server that puts everything off, and the one who looks after the lot sleeps at night.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { serialize } from 'node:v8';
import type { Config } from '../../src/config/config.ts';
import { loadConfig } from '../../src/config/load.ts';
import { seconds } from '../support/instants.ts';
import { ANN, CREEK, configOf, probeUnit } from '../support/scenario.ts';

const HOUR = 3600;
const START = seconds('2026-11-08T12:17:00Z');
const ROUNDS = 26;
const EVERY = 7 * HOUR;

interface Spell {
  readonly from: number;
  readonly to: number;
  readonly airC: number;
}

/** What is said of the air from an instant on, by place; outside the spells it is 7 °C. */
interface Course {
  readonly from: number;
  readonly spells: Readonly<Record<string, readonly Spell[]>>;
}

const spell = (from: string, to: string, airC: number): Spell => ({
  from: seconds(from),
  to: seconds(to),
  airC,
});

const COURSES: readonly Course[] = [
  {
    from: START,
    spells: {
      creek: [spell('2026-11-13T00:00:00Z', '2026-11-13T14:00:00Z', -6)],
      meadow: [spell('2026-11-14T02:00:00Z', '2026-11-14T12:00:00Z', -7)],
    },
  },
  // Colder, and a day sooner.
  {
    from: seconds('2026-11-10T18:00:00Z'),
    spells: {
      creek: [spell('2026-11-12T04:00:00Z', '2026-11-13T14:00:00Z', -9)],
      meadow: [spell('2026-11-14T02:00:00Z', '2026-11-14T12:00:00Z', -7)],
    },
  },
];

interface Marked {
  readonly unit: string;
  readonly state: string;
  readonly at: number;
  readonly method?: string;
  readonly concentrationPercent?: number;
  readonly by?: string;
}

const antifreeze = { state: 'winterized', method: 'antifreeze', concentrationPercent: 50 };

const MARKS: readonly Marked[] = [
  { unit: 'green', state: 'on-my-way', at: seconds('2026-11-11T15:00:00Z'), by: 'bob' },
  { unit: 'blue', ...antifreeze, at: seconds('2026-11-11T20:00:00Z'), by: 'ann' },
  { unit: 'green', ...antifreeze, at: seconds('2026-11-11T23:30:00Z') },
  { unit: 'gold', ...antifreeze, at: seconds('2026-11-13T22:00:00Z'), by: 'cleo' },
  { unit: 'red', state: 'checked', at: seconds('2026-11-15T18:00:00Z') },
];

const unit = (id: string, contacts: readonly string[], place = 'creek'): object =>
  probeUnit({ id, label: `The ${id} one`, place, contacts });

/** Texts to this address are refused, and go on as mails. */
export const REFUSED = 'bob.text@example.org';
/** Every message to this address is put off once. */
export const PUT_OFF = 'cleo@example.org';

export interface Story {
  readonly config: Config;
  /** What the child reads: where it is killed is `plan`. */
  file(plan: object | null): Buffer;
}

const PEOPLE = [
  { ...ANN, stillWatching: true },
  {
    ...ANN,
    id: 'bob',
    name: 'Bob Example',
    email: 'bob@example.org',
    text: REFUSED,
    channels: ['text', 'email'],
  },
  { ...ANN, id: 'cleo', name: 'Cleo Example', email: PUT_OFF },
  { ...ANN, id: 'max', name: 'Max Example', email: 'max@example.org', quiet: '21:00-07:00' },
];

const UNITS = [
  unit('blue', ['ann']),
  unit('red', ['ann']),
  unit('green', ['bob']),
  unit('gold', ['cleo'], 'meadow'),
  unit('grey', ['cleo', 'ann'], 'meadow'),
];

const PLACES = [
  { ...CREEK, managers: ['max'] },
  { ...CREEK, id: 'meadow', latitude: 44.42, longitude: -110.59, managers: ['max'] },
];

/** With its config and database in this directory. */
export function storyAt(directory: string, port: number): Story {
  const email = { host: '127.0.0.1', port, security: 'none', from: 'drainby@example.org' };
  const around = configOf({ units: UNITS, places: PLACES, people: PEOPLE, delivery: { email } });
  const written = { ...around, schedule: '17 */6 * * *', store: { path: './drainby.db' } };
  const file = join(directory, 'drainby.yaml');
  writeFileSync(file, JSON.stringify(written));
  const config = loadConfig(file);
  const instants = Array.from({ length: ROUNDS }, (_, round) => START + round * EVERY);
  const end = START + ROUNDS * EVERY + 48 * HOUR;
  return {
    config,
    file: (plan) => serialize({ config, instants, marks: MARKS, courses: COURSES, end, plan }),
  };
}
