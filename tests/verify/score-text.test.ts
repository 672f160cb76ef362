/** What people read of the scores. */
import { describe, expect, it } from 'vitest';
import { scoreAnswer } from '../../src/app/score-answer.ts';
import { scoreText } from '../../src/cli/score-text.ts';
import type { ScoreQuestion } from '../../src/verify/scorecard.ts';
import { seconds } from '../support/instants.ts';
import { keptLaw } from '../support/kept.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const START = seconds('2026-12-01T00:00:00Z');
const LABELS = { place: 'Creek row', units: { blue: 'Blue trailer' } };

function answer(over: Partial<ScoreQuestion>) {
  const question = {
    place: 'creek',
    asOf: START + 60 * DAY,
    kept: [],
    measured: { readings: [], station: [], archive: [] },
    nights: [],
    ...over,
  };
  return scoreAnswer(question, LABELS);
}

/** Twenty days of 1 °C forecast a day ahead, with a deviation of 2 K; it was −1 on every fourth day, else 0. */
const KEPT = Array.from({ length: 20 }, (_, day) =>
  keptLaw({ validDay: START + day * DAY, leadDay: 1, meanC: () => 1, deviationK: 2 }),
);
const READINGS = KEPT.flatMap(({ validDay }, day) =>
  Array.from({ length: 24 }, (_, hour) => ({
    at: validDay + hour * HOUR,
    temperatureC: day % 4 === 0 ? -1 : 0,
  })),
);
const NIGHTS = [
  { warned: true, harmed: true },
  { warned: false, harmed: true },
  { warned: true, harmed: false },
  { warned: false, harmed: false },
];

describe('the scores in words', () => {
  const full = answer({
    kept: KEPT,
    measured: { readings: READINGS, station: [], archive: READINGS.slice(0, 24) },
    nights: [
      { unit: 'blue', nights: NIGHTS },
      { unit: 'red', nights: [] },
    ],
  });
  const text = scoreText(full, 'F');
  const flat = text.replaceAll(/\s+/g, ' ');

  it('stay within 80 columns', () => {
    for (const line of text.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
  });

  it('say the bias with its sign in the reader’s unit: 5/4 K are 2.3 °F, √(7/4) K are 2.4', () => {
    // Errors are 2 K on a quarter of the days and 1 K on the rest: mean 1.25, mean square (4 + 3)/4.
    const [lead] = full.forecasts;
    expect(lead).toMatchObject({ biasK: 1.25, rmseK: 1.3229, days: 20 });
    expect(flat).toMatch(/│ 1 │ 20 │ \+2\.3 °F │ 2\.4 °F │/);
    expect(flat).toContain('meteo against readings at the place, 2026-12-01 to 2026-12-20:');
    expect(flat).toContain('meteo against the archive, which is computed and not measured, 2026-12-01');
  });

  it('say how chances of frost came true', () => {
    // The law gives 31 % below 0 °C: Φ(−½).
    expect(flat).toContain(
      'A day ahead, chances of 30 to 40 % that it is below 32 °F: 31 % on average; so it was in 25 % of 480 hours on 20 days.',
    );
  });

  it('say hits, misses and false alarms of the advice', () => {
    expect(flat).toContain(
      'Blue trailer, nights scored: 4. Of 2 that would have harmed it, 1 had been warned of and 1 missed. Of 2 that would not, 1 had been warned of for nothing.',
    );
    expect(flat).toContain('red: no night is scored yet.');
  });

  it('leave out skill that there is none of, and say so', () => {
    expect(full.forecasts[0]!.atOrBelowMinus4.skill).toBeNull();
    expect(flat).toContain('│ — │');
    expect(flat).toContain('— where it always or never came');
  });

  it('of nothing say that nothing is scored yet', () => {
    expect(scoreText(answer({}), 'C')).toBe(
      [
        'Creek row: how good its forecasts and its advice were.',
        '',
        'No forecast is scored yet. What forecasts say is kept from the first round on,',
        'and is scored once readings, a station or the archive tell what came.',
        '',
      ].join('\n'),
    );
  });
});
