/** Forecasts of several sources for one place, at the same hours. Limits: engineering estimates. */
import { describe, expect, it } from 'vitest';
import { compareForecasts } from '../../src/weather/compare.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import type { Spot } from '../../src/weather/local-correction.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { BENCH, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const NAN = Number.NaN;

/** Coldest at 5 in the morning there; hour 0 is midnight. */
function hours(shift = 0): number[] {
  return Array.from({ length: 97 }, (_, h) => 2 + shift - 5 * Math.cos((2 * Math.PI * (h - 5)) / 24));
}

function of(source: string, temperatureC: readonly number[], over: Partial<Forecast> = {}): Forecast {
  return madeForecast([{ temperatureC }], { source, ...over });
}

const compare = (...forecasts: Forecast[]) => compareForecasts(forecasts, { spot: BENCH, now: MIDNIGHT });

describe('sources that differ', () => {
  it('by 3 K or less say nothing', () => {
    const { sentences, verdict } = compare(
      of('meteo', hours()),
      of('nws', hours(2.9)),
      of('met', hours(0.5)),
    );
    expect(sentences).toEqual([]);
    expect(verdict).toEqual({ kind: 'use', index: 0 });
  });

  it('by more are said, night by night, with what each says', () => {
    const { sentences, verdict } = compare(of('meteo', hours()), of('nws', hours(-4)));
    expect(sentences).toEqual([
      'The lows of the first night from now differ: meteo −3 °C (26.6 °F), nws −7 °C (19.4 °F).',
      'The lows of the second night from now differ: meteo −3 °C (26.6 °F), nws −7 °C (19.4 °F).',
      'The lows of the third night from now differ: meteo −3 °C (26.6 °F), nws −7 °C (19.4 °F).',
    ]);
    expect(verdict).toEqual({ kind: 'use', index: 0 });
  });

  it('are compared at common hours only: steps of 6 h and a hole say nothing of what lies between', () => {
    const steps = hours().map((t, h) => (h % 6 === 0 ? t : NAN));
    expect(compare(of('meteo', hours()), of('met', steps)).sentences).toEqual([]);
    const hole = hours(-4).map((t, h) => (h < 16 ? NAN : t));
    const { sentences } = compare(of('meteo', hours()), of('nws', hole));
    expect(sentences.map((s) => s.slice(0, 31))).toEqual(
      ['The lows of the second night fro', 'The lows of the third night from'].map((s) => s.slice(0, 31)),
    );
  });

  it('only by the height of their cells do not differ', () => {
    const high = of('meteo', hours(-6.5), { gridElevationM: 2000 });
    expect(compare(high, of('nws', hours(), { gridElevationM: 1000 })).sentences).toEqual([]);
  });

  it('are judged by the single forecast, not by its ensembles', () => {
    const both = madeForecast([{ temperatureC: hours() }, { temperatureC: hours(-30), model: 'made' }]);
    expect(compare(both, of('nws', hours())).sentences).toEqual([]);
  });
});

describe('the first', () => {
  it('is refused when two others agree against it', () => {
    // Colder by more than any cold air that gathers, or warmer.
    for (const off of [-30, 9, 30]) {
      const { verdict } = compare(of('meteo', hours(off)), of('nws', hours()), of('met', hours(2)));
      // At +9 the second of them is 7 K off and does not speak against it.
      if (off === 9) expect(verdict).toEqual({ kind: 'use', index: 0 });
      else
        expect(verdict).toMatchObject({
          kind: 'refuse',
          error: { code: 'forecast-implausible', retryable: true },
        });
    }
    const { verdict } = compare(of('meteo', hours(30)), of('nws', hours()), of('met', hours(2)));
    expect(verdict.kind === 'refuse' && verdict.error.message).toBe(
      'meteo is off by more than 8 K (14.4 °F) most of the time from nws and met, which agree: it is not used.',
    );
  });

  it('is not refused towards warm: it may be the one that knows of cold air that gathers', () => {
    for (const off of [-9, -15, -21]) {
      const { verdict, sentences, disagreementK } = compare(
        of('nws', hours(off)),
        of('meteo', hours()),
        of('met', hours(1)),
      );
      expect([verdict.kind, disagreementK]).toEqual([off < -20 ? 'refuse' : 'use', 0]);
      if (off > -20)
        expect(sentences.at(-1)).toBe(
          'nws is colder than meteo and met, which agree, by more than 8 K (14.4 °F) most of the time: it is used all the same, since it may know of cold air that gathers there. Look at a thermometer at the place.',
        );
    }
    // Nights by 25 K and days by 12: a deep pool in clear weather.
    const deep = hours().map((t) => t - 18.5 + 6.5 * ((t - 2) / 5));
    expect(compare(of('nws', deep), of('meteo', hours()), of('met', hours())).verdict.kind).toBe('use');
  });

  it('is refused for nights and days swapped, though the mean is right', () => {
    const swapped = hours().map((t) => 2 - 3 * (t - 2));
    const { verdict } = compare(of('meteo', swapped), of('nws', hours()), of('met', hours()));
    expect(verdict.kind).toBe('refuse');
  });

  it('gives way to the colder one when only another contradicts it, and that is said', () => {
    const warm = compare(of('meteo', hours(10)), of('nws', hours()));
    expect(warm.verdict).toEqual({ kind: 'use', index: 1 });
    expect(warm.sentences.at(-1)).toContain('the one with the colder nights is used, nws.');
    const cold = compare(of('meteo', hours(-10)), of('nws', hours()));
    expect(cold.verdict).toEqual({ kind: 'use', index: 0 });
    expect(cold.sentences.at(-1)).toContain('the one with the colder nights is used, meteo.');
  });

  it('stays when one of two contradicts and the other does not', () => {
    const { verdict } = compare(of('meteo', hours()), of('nws', hours(20)), of('met', hours(1)));
    expect(verdict).toEqual({ kind: 'use', index: 0 });
  });

  it('gives way to the coldest when all three contradict each other', () => {
    const { verdict } = compare(of('meteo', hours()), of('nws', hours(20)), of('met', hours(-20)));
    expect(verdict).toEqual({ kind: 'use', index: 2 });
  });

  it('is not judged by fewer than 12 common hours', () => {
    const short = hours(30).map((t, h) => (h > 11 ? NAN : t));
    expect(compare(of('meteo', hours()), of('nws', short)).verdict).toEqual({ kind: 'use', index: 0 });
  });
});

describe('the disagreement', () => {
  it('is half of what another’s lows are the colder, where that is more than 3 K', () => {
    const warm = of('meteo', hours());
    const widened = (...others: Forecast[]): number => compare(warm, ...others).disagreementK;
    expect(widened(of('nws', hours(-7)))).toBeCloseTo(3.5, 12);
    expect(widened(of('nws', hours(-16)), of('met', hours()))).toBeCloseTo(8, 12);
    expect(widened(of('nws', hours(-2.9)))).toBe(0);
    expect(widened(of('nws', hours(7)))).toBe(0);
    // The colder one is used, and is the colder one.
    expect(widened(of('nws', hours(-10)))).toBe(0);
  });

  it('does not hear one that is 30 K colder by day and night, against another that agrees', () => {
    const found = compare(of('meteo', hours()), of('nws', hours(-30)), of('met', hours(1)));
    expect(found).toMatchObject({ verdict: { kind: 'use', index: 0 }, disagreementK: 0 });
  });

  it('spreads the members from now on by so much, and that is said', () => {
    const request = requestFor(of('meteo', hours()), { disagreementK: 4.5 });
    const { members, assumptions } = outlookOf(request);
    for (const hour of [1, 24, 70]) {
      const off = members.map((m) => m.temperatureC[hour]! - members[0]!.temperatureC[hour]!);
      const square = off.reduce((sum, k, i) => sum + members[i]!.weight * k * k, 0);
      // One of the 51 is the undressed one.
      expect(Math.sqrt(square)).toBeCloseTo(4.5 * Math.sqrt(50 / 51), 9);
    }
    expect(assumptions.at(-1)).toBe(
      'Another service has colder nights: errors of at least 4.5 K (8.1 °F) are counted with.',
    );
  });
});

describe('heights', () => {
  it('bring no source up where cold air gathers, as nothing else would', () => {
    const far = (lie: Spot['lie']) =>
      compareForecasts(
        [
          of('nws', hours(-5), { gridElevationM: 2000 }),
          of('meteo', hours(), { gridElevationM: 2500 }),
          of('met', hours(), { gridElevationM: 2500 }),
        ],
        { spot: { ...BENCH, lie, elevationM: 2000 }, now: MIDNIGHT },
      );
    expect(far('hollow').sentences[0]).toContain('nws −8 °C (17.6 °F), meteo −3 °C (26.6 °F)');
    expect(far('hollow').sentences).toHaveLength(3);
    expect(far('bench').sentences[0]).toContain('nws −8 °C (17.6 °F), meteo 0.3 °C (32.5 °F)');
  });
});
