/**
 * Scores of forecasts whose errors are put in by the test, from a real database that rounds have filled beside a
 * loopback service. What the scores must be is computed here from those errors alone: a bias is the mean of the errors,
 * a Brier score (Brier 1950, Monthly Weather Review 78:1-3, halved as is usual today) the mean of (chance − event)².
 */
import { describe, expect, it } from 'vitest';
import type { ScoreAnswer } from '../../src/app/score-answer.ts';
import { seconds } from '../support/instants.ts';
import { DAY, HOUR, setYard, skyService, type Sky, type Yard } from './score-setup.ts';

const START = seconds('2026-11-02T06:20:00Z');
const TODAY = seconds('2026-11-02T00:00:00Z');
const DAYS = 20;
const END = START + DAYS * DAY;

/** Hours on both sides of 0 and of −4 °C; what it does to the unit is for another test. */
const SKY: Sky = {
  truth: (at) => -1 + 5 * Math.cos((2 * Math.PI * (at / HOUR - 21)) / 24) + 2 * Math.sin(at / (3 * DAY)),
  errorK: (at, lead) => 1 + 0.25 * lead + (Math.floor(at / DAY) % 2 === 0 ? 0.5 : -0.5),
};

async function watched(errorModel: object): Promise<{ yard: Yard; answer: ScoreAnswer }> {
  let now = START;
  const yard = await setYard(
    skyService(SKY, () => now),
    errorModel,
  );
  for (; now <= END; now += DAY) expect(await yard.once(now)).toEqual([]);
  return { yard, answer: JSON.parse(await yard.score(END, '--json')) as ScoreAnswer };
}

function leads(answer: ScoreAnswer, source: string) {
  return answer.forecasts.filter((of) => of.source === source && of.truth === 'archive');
}

/** Of whole UTC days, without hours that were past when the forecast was kept. */
function hoursOf(fromDay: number, count: number, keptAgo: number | null): number[] {
  return Array.from({ length: count * 24 }, (_, i) => fromDay + i * HOUR).filter((at) => {
    const day = Math.floor(at / DAY) * DAY;
    return keptAgo === null || at > day - keptAgo * DAY + (START - TODAY);
  });
}

const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;

/** Student's t with 5 degrees of freedom, by Simpson's rule over its density 8/(3π√5)·(1 + t²/5)⁻³. */
function tBelow(t: number): number {
  const density = (x: number): number => (8 / (3 * Math.PI * Math.sqrt(5))) * (1 + (x * x) / 5) ** -3;
  const n = 400;
  const step = t / n;
  let sum = density(0) + density(t);
  for (let i = 1; i < n; i++) sum += (i % 2 === 0 ? 2 : 4) * density(i * step);
  return 0.5 + (sum * step) / 3;
}

describe('the scores of forecasts that are taken at their word', () => {
  it('are the bias and the Brier scores that were put in, lead by lead', async () => {
    const { answer } = await watched({ kind: 'none' });
    const found = leads(answer, 'meteo');
    expect(found.map(({ leadDay }) => leadDay)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    for (const { leadDay, days, hours, biasK, rmseK, below0, atOrBelowMinus4 } of found) {
      // The archive knows whole days, up to yesterday.
      const at = hoursOf(TODAY + leadDay * DAY, DAYS - leadDay, leadDay);
      const errors = at.map((hour) => SKY.errorK(hour, leadDay));
      expect([days, hours]).toEqual([DAYS - leadDay, at.length]);
      // Temperatures are kept to the hundredth of a degree.
      expect(biasK).toBeCloseTo(mean(errors), 2);
      expect(rmseK).toBeCloseTo(Math.sqrt(mean(errors.map((e) => e * e))), 2);
      const wrong = (is: (t: number) => boolean): number =>
        mean(
          at.map((hour) => Number(is(SKY.truth(hour)) !== is(SKY.truth(hour) + SKY.errorK(hour, leadDay)))),
        );
      expect(below0.brier).toBeCloseTo(
        wrong((t) => t < 0),
        3,
      );
      expect(atOrBelowMinus4.brier).toBeCloseTo(
        wrong((t) => t <= -4),
        3,
      );
      expect(below0.brier).toBeGreaterThan(0.02);
    }
  });
});

describe('the scores of a place', () => {
  it('are there on the first day, of earlier runs dressed with the stated law', async () => {
    let now = START;
    const yard = await setYard(skyService(SKY, () => now));
    await yard.once(now);
    const answer = JSON.parse(await yard.score(now, '--json')) as ScoreAnswer;
    const found = leads(answer, 'meteo (earlier runs)');
    expect(found.map(({ leadDay, days }) => [leadDay, days])).toEqual(
      [1, 2, 3, 4, 5, 6, 7].map((l) => [l, 30]),
    );
    expect(answer.forecasts).toHaveLength(7);
    for (const { leadDay, biasK, below0 } of found) {
      const at = hoursOf(TODAY - 30 * DAY, 30, null);
      expect(biasK).toBeCloseTo(mean(at.map((hour) => SKY.errorK(hour, leadDay))), 2);
      // The stated law's defaults: 1 K and 0.3 K a day.
      const scaleK = (1 + 0.3 * leadDay) * Math.sqrt(3 / 5);
      const squares = at.map((hour) => {
        const said = SKY.truth(hour) + SKY.errorK(hour, leadDay);
        return (tBelow(-said / scaleK) - Number(SKY.truth(hour) < 0)) ** 2;
      });
      expect(below0.brier).toBeCloseTo(mean(squares), 3);
    }
    now += 2 * HOUR;
    await yard.once(now);
    const paths = yard.server.requests
      .filter((r) => r.query.has('start_date'))
      .map((r) => r.query.get('hourly'));
    expect(paths.filter((hourly) => hourly?.includes('_previous_day'))).toHaveLength(1);
  });

  it('have the bias in them, whatever the forecasts are dressed with', async () => {
    const { yard, answer } = await watched({ kind: 'growing', members: 11 });
    for (const { leadDay, biasK } of leads(answer, 'meteo')) {
      const at = hoursOf(TODAY + leadDay * DAY, DAYS - leadDay, leadDay);
      expect(biasK).toBeCloseTo(mean(at.map((hour) => SKY.errorK(hour, leadDay))), 2);
    }
    const archive = yard.server.requests.filter((r) => r.path.endsWith('/v1/archive'));
    // Thirty days at the start, then once a day the last eight.
    expect(archive.map((r) => r.query.get('start_date')).slice(0, 3)).toEqual([
      '2026-10-03',
      '2026-10-26',
      '2026-10-27',
    ]);
    expect(archive).toHaveLength(DAYS + 1);
    const text = await yard.score(END);
    for (const line of text.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(80);
    const flat = text.replaceAll(/\s+/g, ' ');
    expect(flat).toContain(
      'meteo against the archive, which is computed and not measured, 2026-11-02 to 2026-11-21:',
    );
    expect(flat).toContain('No readings yet:');
    expect(flat).toContain('Weather data by Open-Meteo.com');
    expect(flat).toContain('ERA5 of the Copernicus Climate Change Service');
    expect(await yard.score(END)).toBe(text);
  });
});
